"""Layers of a convolutional network in numpy; maps are (rows, columns, channels) float32."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Maps = NDArray[np.float32]

N_TAPS = 9  # of a 3 x 3 kernel


def convolve_3x3(maps: Maps, kernel: Maps, bias: Maps) -> Maps:
    """Convolve maps with 3 x 3 kernels, with zero padding.

    Parameters
    ----------
    maps : (rows, columns, channels) float32 array
    kernel : (9 * channels, n) float32 array
        Taps in row-major order, with the channels of each tap together.
    bias : (n,) float32 array

    Returns
    -------
    (rows, columns, n) float32 array
    """
    rows, columns, channels = maps.shape
    padded = np.pad(maps, ((1, 1), (1, 1), (0, 0)))
    taps = np.empty((rows, columns, N_TAPS, channels), dtype=np.float32)
    for tap in range(N_TAPS):
        taps[:, :, tap] = padded[tap // 3 : tap // 3 + rows, tap % 3 : tap % 3 + columns]
    mixed = taps.reshape(rows * columns, N_TAPS * channels) @ kernel
    return np.asarray(mixed + bias).reshape(rows, columns, -1)


def max_pool_2x2(maps: Maps) -> Maps:
    """Maximum of each 2 x 2 block; rows and columns must be even."""
    rows, columns, channels = maps.shape
    blocks = maps.reshape(rows // 2, 2, columns // 2, 2, channels)
    return np.asarray(blocks.max(axis=(1, 3)))


def upsample_2x(maps: Maps) -> Maps:
    """Repeat each value twice along rows and columns."""
    return np.repeat(np.repeat(maps, 2, axis=0), 2, axis=1)
