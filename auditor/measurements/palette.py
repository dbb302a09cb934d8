"""The palette: the main colours of a picture with their shares."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import Swatch


def measure_palette(pixels: NDArray[np.uint8]) -> tuple[Swatch, ...]:
    """Main colours of (H, W, 3) uint8 sRGB pixels, largest share first; shares sum to 1."""
    raise NotImplementedError
