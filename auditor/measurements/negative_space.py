"""Negative space: the share of the frame that no element occupies and that is visually quiet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Box
from auditor.quantity import Quantity

Side = Literal["left", "right", "top", "bottom", "around", "none"]


@dataclass(frozen=True, slots=True)
class NegativeSpace:
    """What stays empty.

    Attributes
    ----------
    fraction : float
        Share of the frame, in [0, 1]; the quantity's tolerance is in the same unit.
    largest_region_bbox : Box or None
        Box of the largest connected quiet region.
    largest_region_fraction : float
        Its share of the frame.
    side : str
        Where most of the emptiness lies: left, right, top, bottom, around or none.
    """

    fraction: float
    largest_region_bbox: Box | None
    largest_region_fraction: float
    side: Side


def measure_negative_space(
    pixels: NDArray[np.uint8], occupied: NDArray[np.bool_]
) -> Quantity[NegativeSpace]:
    """Measure the quiet ground.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    occupied : (h, w) bool array
        Subject and elements together, covering the frame.
    """
    raise NotImplementedError
