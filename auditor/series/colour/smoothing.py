"""Gaussian smoothing of small histograms, several times as fast as a filter."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Literal, TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

Mode = Literal["constant", "reflect", "wrap"]
Real = TypeVar("Real", np.float32, np.float64)


def smooth(
    histogram: NDArray[Real], sigmas: Sequence[float], modes: Sequence[Mode]
) -> NDArray[Real]:
    """Smooth a histogram with three axes, as `scipy.ndimage.gaussian_filter` does.

    By one product of matrices for each axis. Rows without a count, most of them in the colours of a
    picture, are left out of the first.

    Parameters
    ----------
    histogram : (L, M, N) float32 or float64 array
        What is returned has its precision.
    sigmas : sequence of float
        Standard deviation along each axis, in bins.
    modes : sequence of str
        What is beyond the ends of each axis: nothing, the mirror image, or the other end.
    """
    first, second, third = (
        _kernel(n, sigma, mode).astype(histogram.dtype)
        for n, sigma, mode in zip(histogram.shape, sigmas, modes, strict=True)
    )
    n_first, n_second, n_third = histogram.shape
    rows = histogram.reshape(-1, n_third)
    filled = np.flatnonzero(rows.any(axis=1))
    along_third = np.zeros_like(rows)
    along_third[filled] = rows[filled] @ third.T
    along_second = second @ along_third.reshape(n_first, n_second, n_third)
    smoothed: NDArray[Real] = first @ along_second.reshape(n_first, -1)
    return smoothed.reshape(histogram.shape)


@cache
def _kernel(n: int, sigma: float, mode: Mode) -> NDArray[np.float64]:
    """(n, n) matrix that smooths a column of n bins."""
    return np.asarray(gaussian_filter1d(np.eye(n), sigma, axis=0, mode=mode))
