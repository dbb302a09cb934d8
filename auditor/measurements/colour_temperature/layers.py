"""Layers of a convolutional network in numpy; maps are (rows, columns, channels) float32."""

from __future__ import annotations

import numpy as np
from numpy.lib.stride_tricks import as_strided
from numpy.typing import NDArray

Maps = NDArray[np.float32]

_SIDE = 3  # of a kernel


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
    padded = np.zeros((rows + 2, columns + 2, channels), dtype=np.float32)
    padded[1:-1, 1:-1] = maps
    # The taps of a row of the kernel lie one after the other in the padded maps.
    down, across, channel = padded.strides
    taps = as_strided(
        padded, (rows, columns, _SIDE, _SIDE * channels), (down, across, down, channel)
    )
    mixed = taps.reshape(rows * columns, _SIDE**2 * channels) @ kernel
    mixed += bias
    return mixed.reshape(rows, columns, -1)


def max_pool_2x2(maps: Maps) -> Maps:
    """Maximum of each 2 x 2 block; rows and columns must be even."""
    rows, columns, channels = maps.shape
    blocks = maps.reshape(rows // 2, 2, columns // 2, 2, channels)
    return np.asarray(blocks.max(axis=(1, 3)))


def upsample_2x(maps: Maps) -> Maps:
    """Repeat each value twice along rows and columns."""
    return np.repeat(np.repeat(maps, 2, axis=0), 2, axis=1)
