"""sRGB (IEC 61966-2-1): transfer function and primaries."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

XYZ_FROM_LINEAR: Final = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
"""CIE 1931 XYZ of linear sRGB, luminance of white 1; IEC 61966-2-1, four decimals."""

LINEAR_FROM_XYZ: Final = np.linalg.inv(XYZ_FROM_LINEAR)

D65_XYZ: Final = XYZ_FROM_LINEAR.sum(axis=1)
"""XYZ of sRGB's white point, D65, as the sum of the matrix rows, so that greys have a* = b* = 0."""

# The transfer function of IEC 61966-2-1: a straight line near black, a power law above.
ENCODED_KNEE: Final = 0.04045
LINEAR_KNEE: Final = 0.0031308
BLACK_SLOPE: Final = 12.92
POWER_OFFSET: Final = 0.055
EXPONENT: Final = 2.4


def linear_from_srgb(srgb: NDArray[np.floating]) -> NDArray[np.float64]:
    """Undo the transfer function of sRGB (IEC 61966-2-1).

    Parameters
    ----------
    srgb : (..., 3) float array
        Encoded, in [0, 1].

    Returns
    -------
    (..., 3) float array
        Linear light, in [0, 1].
    """
    encoded = np.asarray(srgb, dtype=np.float64)
    # `np.where` evaluates both branches: the maximum avoids negative bases in the unused one.
    power_law = (
        (np.maximum(encoded, ENCODED_KNEE) + POWER_OFFSET) / (1 + POWER_OFFSET)
    ) ** EXPONENT
    return np.where(encoded <= ENCODED_KNEE, encoded / BLACK_SLOPE, power_law)


def srgb_from_linear(linear: NDArray[np.floating]) -> NDArray[np.float64]:
    """Apply the transfer function of sRGB (IEC 61966-2-1); the inverse of `linear_from_srgb`."""
    light = np.asarray(linear, dtype=np.float64)
    power_law = (1 + POWER_OFFSET) * np.maximum(light, LINEAR_KNEE) ** (1 / EXPONENT) - POWER_OFFSET
    return np.where(light <= LINEAR_KNEE, light * BLACK_SLOPE, power_law)


LINEAR_FROM_BYTE: Final = linear_from_srgb(np.arange(256) / 255).astype(np.float32)
"""Linear light of each 8-bit sRGB code value: ``LINEAR_FROM_BYTE[pixels]``."""


def xyz_from_linear(linear: NDArray[np.floating]) -> NDArray[np.float64]:
    """CIE 1931 XYZ of (..., 3) linear sRGB; white has luminance Y = 1."""
    xyz: NDArray[np.float64] = np.asarray(linear, dtype=np.float64) @ XYZ_FROM_LINEAR.T
    return xyz


def linear_from_xyz(xyz: NDArray[np.floating]) -> NDArray[np.float64]:
    """Linear sRGB of (..., 3) XYZ; outside [0, 1] for colours outside the gamut."""
    linear: NDArray[np.float64] = np.asarray(xyz, dtype=np.float64) @ LINEAR_FROM_XYZ.T
    return linear
