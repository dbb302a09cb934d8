"""Bradford chromatic adaptation, and shifts of the white point in mired by means of it.

Lam 1985; ICC.1:2022, annex E.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry.srgb import D65_XYZ, LINEAR_FROM_XYZ, XYZ_FROM_LINEAR
from auditor.colorimetry.temperature import (
    D65_DUV,
    D65_MIRED,
    kelvin_from_mired,
    uv_from_cct_duv,
    xy_from_uv,
    xyz_from_xy,
)

BRADFORD: Final = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)
"""Sharpened cone responses of XYZ (ICC.1:2022, annex E)."""

CONES_FROM_LINEAR: Final = BRADFORD @ XYZ_FROM_LINEAR
"""Sharpened cone responses of linear sRGB."""

MIN_CONE_RESPONSE: Final = 1e-6
"""Floor of a cone response relative to white's 1, so that its logarithm is finite. The smallest
8-bit value above black is 3e-4."""


def bradford_matrix(
    from_xyz: NDArray[np.floating], to_xyz: NDArray[np.floating]
) -> NDArray[np.float64]:
    """Matrix that adapts XYZ from one white point to another, after Bradford.

    Parameters
    ----------
    from_xyz, to_xyz : (3,) float array
        XYZ of the two white points.

    Returns
    -------
    (3, 3) float array
        For column vectors of XYZ.
    """
    gains = (BRADFORD @ to_xyz) / (BRADFORD @ from_xyz)
    matrix: NDArray[np.float64] = np.linalg.inv(BRADFORD) @ (gains[:, np.newaxis] * BRADFORD)
    return matrix


def shift_mired(
    linear_rgb: NDArray[np.floating],
    mired: float,
    *,
    neutral_mired: float = D65_MIRED,
    neutral_duv: float = D65_DUV,
) -> NDArray[np.float64]:
    """Shift the neutrals of a picture along the Planckian locus.

    Parameters
    ----------
    linear_rgb : (..., 3) float array
        Linear sRGB.
    mired : float
        Shift; positive is warmer.
    neutral_mired, neutral_duv : float
        Colour temperature and Duv of the picture's neutrals before the shift. If they differ from
        the real ones, the shift is wrong by a few percent.

    Returns
    -------
    (..., 3) float array
        Linear sRGB. Neutrals keep their luminance. Values outside [0, 1] are outside the gamut.
    """
    start, end = (
        xyz_from_xy(xy_from_uv(uv_from_cct_duv(kelvin_from_mired(m), neutral_duv)))
        for m in (neutral_mired, neutral_mired + mired)
    )
    matrix = LINEAR_FROM_XYZ @ bradford_matrix(start, end) @ XYZ_FROM_LINEAR
    shifted: NDArray[np.float64] = np.asarray(linear_rgb, dtype=np.float64) @ matrix.T
    return shifted


def cone_ratios_from_linear(linear_rgb: NDArray[np.floating]) -> NDArray[np.floating]:
    """Logarithmic chromaticity, in which a change of white is a translation.

    Parameters
    ----------
    linear_rgb : (..., 3) float array
        Linear sRGB.

    Returns
    -------
    (..., 2) float array
        Natural logarithms of the ratios of the long-wave and of the short-wave Bradford response
        to the middle-wave one, relative to D65: a grey is (0, 0), warmer is (+, -).
    """
    white = BRADFORD @ D65_XYZ
    cones_from_linear = (CONES_FROM_LINEAR / white[:, np.newaxis]).astype(linear_rgb.dtype)
    cones = np.log(np.maximum(linear_rgb @ cones_from_linear.T, MIN_CONE_RESPONSE))
    ratios: NDArray[np.floating] = cones[..., [0, 2]] - cones[..., [1]]
    return ratios


def linear_from_cone_ratios(ratios: NDArray[np.floating]) -> NDArray[np.float64]:
    """Linear sRGB, scaled to middle-wave response 1, of (..., 2) logarithmic chromaticities."""
    values = np.asarray(ratios, dtype=np.float64)
    long, short = np.exp(values[..., 0]), np.exp(values[..., 1])
    cones = np.stack([long, np.ones_like(long), short], axis=-1) * (BRADFORD @ D65_XYZ)
    linear: NDArray[np.float64] = cones @ np.linalg.inv(CONES_FROM_LINEAR).T
    return linear
