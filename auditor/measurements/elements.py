"""The supporting elements: the other things placed in the frame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Region
from auditor.quantity import Quantity


@dataclass(frozen=True, slots=True)
class FoundElements:
    """Supporting elements, largest first.

    Attributes
    ----------
    regions : tuple of Quantity of Region
        Tolerances are distances of the centroid, as fractions of the frame's diagonal.
    labels : (h, w) int32 array
        0 is ground or subject, n the n-th element.
    """

    regions: tuple[Quantity[Region], ...]
    labels: NDArray[np.int32]


def measure_elements(
    elements_map: NDArray[np.float32], subject_mask: NDArray[np.bool_]
) -> FoundElements:
    """Split what is not the subject into elements (both arrays (h, w), covering the frame)."""
    raise NotImplementedError
