"""Reduce a picture by the same factor in both directions, exactly mirrored for a mirror image."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

NEAR_ENOUGH = 0.9  # requested longest side over that after averaging whole blocks


@dataclass(frozen=True, slots=True)
class ReducedPicture:
    """A reduced picture, without the pixels left over at its edge.

    Attributes
    ----------
    pixels : (h, w, 3) uint8 array
    width, height : float
        Of the whole frame, in reduced pixels.
    left, top : float
        Position of the corner of `pixels` in that frame.
    """

    pixels: NDArray[np.uint8]
    width: float
    height: float
    left: float
    top: float


def reduce_picture(pixels: NDArray[np.uint8], side_px: int) -> ReducedPicture:
    """Reduce (H, W, 3) uint8 pixels to about `side_px` along the longest side.

    Square blocks are averaged first. If the result is still too large, a bilinear reduction
    follows: a box filter would average one pixel here and two there, and break edges.
    """
    height, width = pixels.shape[:2]
    # No block is wider than the picture's short side.
    factor = max(1, min(max(height, width) // side_px, height, width))
    rest = max(height, width) / (factor * side_px)
    if factor == 1 and rest <= 1:
        return ReducedPicture(pixels, width, height, 0.0, 0.0)
    columns, rows = _n_blocks(width, factor), _n_blocks(height, factor)
    left, top = (width - columns * factor) // 2, (height - rows * factor) // 2
    box = (left, top, left + columns * factor, top + rows * factor)
    image = Image.fromarray(pixels).reduce(factor, box)
    if rest * NEAR_ENOUGH <= 1:
        reduced = np.asarray(image)
        return ReducedPicture(reduced, width / factor, height / factor, left / factor, top / factor)
    size = (max(1, int(columns / rest)), max(1, int(rows / rest)))
    beside, over = max(0.0, columns - size[0] * rest) / 2, max(0.0, rows - size[1] * rest) / 2
    inner = (beside, over, columns - beside, rows - over)
    scale = factor * rest
    return ReducedPicture(
        np.asarray(image.resize(size, Image.Resampling.BILINEAR, inner)),
        width / scale,
        height / scale,
        (left + beside * factor) / scale,
        (top + over * factor) / scale,
    )


def _n_blocks(length: int, factor: int) -> int:
    """Number of blocks to use, so that equally much is left over on both sides if possible."""
    n_blocks = length // factor
    is_uneven = (length - n_blocks * factor) % 2 == 1
    return n_blocks - 1 if is_uneven and factor % 2 == 1 and n_blocks > 1 else n_blocks
