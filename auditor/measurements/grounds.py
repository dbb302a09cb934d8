"""Background and surface: the colour of what stands behind and of what the food stands on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import Swatch
from auditor.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Grounds:
    """What lies outside the elements; tolerances are CIEDE2000."""

    background: Quantity[Swatch]
    surface: Quantity[Swatch]


def measure_grounds(
    pixels: NDArray[np.uint8], occupied: NDArray[np.bool_], elevation_deg: float | None
) -> Grounds:
    """Tell background and surface apart and measure the colour of each.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    occupied : (h, w) bool array
        Subject and elements, covering the frame.
    elevation_deg : float or None
        From overhead (above about 65 degrees) there is a surface only.
    """
    raise NotImplementedError
