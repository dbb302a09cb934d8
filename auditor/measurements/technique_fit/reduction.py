"""Reduce a picture for the techniques that are measured on its pixels."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image


def reduced(pixels: NDArray[np.uint8], side_px: int) -> NDArray[np.uint8]:
    """Reduce (H, W, 3) uint8 pixels to at most `side_px` along the longest side."""
    height, width = pixels.shape[:2]
    scale = min(1.0, side_px / max(height, width))
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    image = Image.fromarray(pixels)
    return np.asarray(image.resize(size, Image.Resampling.BOX))
