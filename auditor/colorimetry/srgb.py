"""sRGB after IEC 61966-2-1: its transfer function and its primaries."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

XYZ_FROM_LINEAR: Final = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
"""CIE 1931 XYZ (luminance of white 1) of linear sRGB; IEC 61966-2-1, four decimals."""

LINEAR_FROM_XYZ: Final = np.linalg.inv(XYZ_FROM_LINEAR)

D65_XYZ: Final = XYZ_FROM_LINEAR.sum(axis=1)
"""XYZ of sRGB's white, D65, as the matrix itself makes it: greys then have a* = b* = 0."""


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
    # The maximum only keeps the branch that is not taken free of negative bases.
    curved = ((np.maximum(encoded, 0.04045) + 0.055) / 1.055) ** 2.4
    return np.where(encoded <= 0.04045, encoded / 12.92, curved)


def srgb_from_linear(linear: NDArray[np.floating]) -> NDArray[np.float64]:
    """Apply the transfer function of sRGB (IEC 61966-2-1); the inverse of `linear_from_srgb`."""
    light = np.asarray(linear, dtype=np.float64)
    return np.where(
        light <= 0.0031308, light * 12.92, 1.055 * np.maximum(light, 0.0031308) ** (1 / 2.4) - 0.055
    )


LINEAR_FROM_BYTE: Final = linear_from_srgb(np.arange(256) / 255).astype(np.float32)
"""Linear light of each 8-bit sRGB value: ``LINEAR_FROM_BYTE[pixels]``."""


def xyz_from_linear(linear: NDArray[np.floating]) -> NDArray[np.float64]:
    """CIE 1931 XYZ of (..., 3) linear sRGB; the luminance Y of white is 1."""
    xyz: NDArray[np.float64] = np.asarray(linear, dtype=np.float64) @ XYZ_FROM_LINEAR.T
    return xyz


def linear_from_xyz(xyz: NDArray[np.floating]) -> NDArray[np.float64]:
    """Linear sRGB of (..., 3) XYZ; outside [0, 1] where sRGB cannot show the colour."""
    linear: NDArray[np.float64] = np.asarray(xyz, dtype=np.float64) @ LINEAR_FROM_XYZ.T
    return linear
