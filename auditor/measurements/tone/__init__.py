"""Tone: lightness, contrast, key, exposure and clipping, and the subject against its surroundings.

`luminance` counts how much of the frame has which luminance, `clipping` says where it is clipped,
`subject_tone` looks at the subject.
"""

from auditor.measurements.tone.clipping import ClippedRegion, Clipping
from auditor.measurements.tone.measure import MIDDLE_GREY, Key, Tone, measure_tone
from auditor.measurements.tone.subject_tone import SubjectTone, measure_subject_tone

__all__ = [
    "MIDDLE_GREY",
    "ClippedRegion",
    "Clipping",
    "Key",
    "SubjectTone",
    "Tone",
    "measure_subject_tone",
    "measure_tone",
]
