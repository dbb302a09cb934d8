"""The subject: mask, centroid, box and share of the frame of what the picture is of."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Box, Region
from auditor.quantity import Quantity


@dataclass(frozen=True, slots=True)
class FoundSubject:
    """The subject as a quantity and as a mask.

    Attributes
    ----------
    region : Quantity of Region
        Its tolerance is a distance of the centroid, as a fraction of the frame's diagonal.
    mask : (h, w) bool array
        Covers the frame; all False where there is no subject.
    """

    region: Quantity[Region]
    mask: NDArray[np.bool_]


def measure_subject(
    subject_map: NDArray[np.float32], elements_map: NDArray[np.float32]
) -> FoundSubject:
    """Find the subject in the finder's maps (both (h, w), in [0, 1])."""
    raise NotImplementedError


def subject_from_metadata(
    box: Box, subject_map: NDArray[np.float32], *, is_point: bool
) -> FoundSubject:
    """Take the subject from a region that the picture's metadata name; the map fills its shape."""
    raise NotImplementedError
