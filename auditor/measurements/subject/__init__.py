"""The subject of a picture: mask, centroid, box and share of the frame.

`measure` estimates it from the finder's maps, `named` chooses it by an area named in the picture's
metadata; `food_on_dish` finds the food on a dish that nearly fills the frame. `silhouette` has the
properties of a mask that all use.
"""

from auditor.measurements.subject.food_on_dish import food_on_dish
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
    "food_on_dish",
    "measure_subject",
    "subject_from_metadata",
    "subject_silhouette",
]
