"""The subject: mask, centroid, box and share of the frame of what the picture is of.

`estimate` reads it off the finder's maps, `named` takes it from an area that the picture's metadata
name; `silhouette` holds what both need to know of a mask.
"""

from auditor.measurements.subject.estimate import (
    confidence_cues,
    measure_subject,
    subject_silhouette,
)
from auditor.measurements.subject.found import TOLERANCE, FoundSubject
from auditor.measurements.subject.named import subject_from_metadata

__all__ = [
    "TOLERANCE",
    "FoundSubject",
    "confidence_cues",
    "measure_subject",
    "subject_from_metadata",
    "subject_silhouette",
]
