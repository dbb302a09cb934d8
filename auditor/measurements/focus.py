"""Focus: sharpness on and off the subject, and where the sharpest part lies."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Point
from auditor.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Focus:
    """Sharpness in the frame; the quantity's confidence is that of `subject_in_focus`.

    Attributes
    ----------
    subject_sharpness : float
        In [0, 1], higher is sharper; comparable between pictures of about the same size.
    sharpest_at : Point
        Centre of the sharpest part of the frame.
    subject_in_focus : bool
        Whether the subject is about as sharp as the sharpest part of the frame.
    """

    subject_sharpness: float
    sharpest_at: Point
    subject_in_focus: bool


def measure_focus(detail: NDArray[np.uint8], subject_mask: NDArray[np.bool_]) -> Quantity[Focus]:
    """Measure sharpness in (H, W, 3) uint8 sRGB pixels; `subject_mask` (h, w) covers the frame."""
    raise NotImplementedError
