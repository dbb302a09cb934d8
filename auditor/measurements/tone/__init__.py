"""Tone: lightness, contrast, key, exposure and clipping, and the subject against its surroundings.

`luminance` computes the distribution of luminance, `clipping` finds clipped areas, `subject_tone`
measures the subject, `measure` the whole frame.
"""

from auditor.measurements.tone.clipping import Clipping
from auditor.measurements.tone.measure import Tone, lightness_ev, measure_tone
from auditor.measurements.tone.subject_tone import SubjectTone, measure_subject_tone

__all__ = [
    "Clipping",
    "SubjectTone",
    "Tone",
    "lightness_ev",
    "measure_subject_tone",
    "measure_tone",
]
