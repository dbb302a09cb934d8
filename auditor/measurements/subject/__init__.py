"""The subject of a picture: mask, centroid, box and share of the frame.

`measure` estimates it from the finder's maps, `named` takes it from an area named in the picture's
metadata; `silhouette` has the properties of a mask that both use.
"""

from auditor.measurements.subject.found import TOLERANCE, FoundSubject
from auditor.measurements.subject.measure import (
    confidence_cues,
    measure_subject,
    subject_silhouette,
)
from auditor.measurements.subject.named import subject_from_metadata

__all__ = [
    "TOLERANCE",
    "FoundSubject",
    "confidence_cues",
    "measure_subject",
    "subject_from_metadata",
    "subject_silhouette",
]
