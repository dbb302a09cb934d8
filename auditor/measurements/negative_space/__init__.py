"""Negative space: the share of the frame that is empty and quiet, and the side on which it lies."""

from auditor.measurements.negative_space.measure import confidence_cues, measure_negative_space
from auditor.measurements.negative_space.space import (
    NO_SPACE_FRACTION,
    SIDE_IMBALANCE,
    Emptiness,
    NegativeSpace,
    doubt_of_pattern,
    sides_of,
)

__all__ = [
    "NO_SPACE_FRACTION",
    "SIDE_IMBALANCE",
    "Emptiness",
    "NegativeSpace",
    "confidence_cues",
    "doubt_of_pattern",
    "measure_negative_space",
    "sides_of",
]
