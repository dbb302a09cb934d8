"""A picture at several sizes, smoothed, as lightness and two colour differences.

Arrays are planar: (3, H, W).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Floats = NDArray[np.float64]
Channels = NDArray[np.float32]
Smoothed = NDArray[np.uint16]

# Rec. 601 luma and two opponent differences of the encoded values. Colour differences are halved
# since JPEG stores them at half the resolution and they carry more of its noise.
CHANNELS_FROM_SRGB = np.array(
    [[0.299, 0.587, 0.114], [0.5, -0.5, 0.0], [0.25, 0.25, -0.5]], dtype=np.float32
)
BINOMIAL_SUM = 256  # of 1 4 6 4 1 along rows times the same along columns


def reduced(image: Image.Image, long_side_px: int) -> Image.Image:
    """Reduce a picture to at most this longest side, by the mean over each box."""
    factor = max(image.size) / long_side_px
    if factor <= 1:
        return image
    size = (max(1, round(image.width / factor)), max(1, round(image.height / factor)))
    return image.resize(size, Image.Resampling.BOX)


def smoothed(image: Image.Image) -> Smoothed:
    """Red, green and blue (3, H, W), 256 times their mean under the binomial 1 4 6 4 1.

    That approximates a Gaussian of one pixel; integers are exact and fast.
    """
    return np.stack([_blurred(np.asarray(band)) for band in image.split()])


def _blurred(plane: NDArray[np.uint8]) -> Smoothed:
    """One plane, by four sums of neighbours along each axis; edge values are repeated."""
    summed = np.pad(plane, 2, mode="edge").astype(np.uint16)
    for _ in range(4):
        summed = summed[1:] + summed[:-1]
    for _ in range(4):
        summed = summed[:, 1:] + summed[:, :-1]
    return summed


def opponent(values: NDArray[np.float32] | Smoothed) -> Channels:
    """Lightness, red-green and yellow-blue (3, ...) of smoothed values, in levels of 255."""
    mixed = (CHANNELS_FROM_SRGB / np.float32(BINOMIAL_SUM)) @ values.reshape(3, -1).astype(
        np.float32, copy=False
    )
    return np.asarray(mixed.reshape(values.shape))


def sampled(picture: Smoothed, x: Floats, y: Floats) -> Channels:
    """Values (3, ...) of a (3, H, W) picture at positions x, y in pixels, bilinear."""
    height, width = picture.shape[1:]
    x = np.clip(x - 0.5, 0, width - 1.001, dtype=np.float32, casting="same_kind")
    y = np.clip(y - 0.5, 0, height - 1.001, dtype=np.float32, casting="same_kind")
    column, row = x.astype(np.intp), y.astype(np.intp)
    right, down = x - column.astype(np.float32), y - row.astype(np.float32)
    both = right * down
    first = row * width + column
    flat = picture.reshape(3, -1)
    values = flat.take(first, axis=1) * (1 - right - down + both)
    for step, weight in ((1, right - both), (width, down - both), (width + 1, both)):
        values += flat.take(first + step, axis=1) * weight
    return np.asarray(values, dtype=np.float32)
