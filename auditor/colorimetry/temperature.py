"""Correlated colour temperature and Duv (Ohno 2013), and mired.

Y. Ohno: Practical use and calculation of CCT and Duv. LEUKOS 10 (2014), 47-55. Duv is the
distance from the Planckian locus in CIE 1960 (u, v), positive above it (towards green).
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry.planckian_locus import planckian_locus, planckian_uv
from auditor.colorimetry.srgb import D65_XYZ

MIRED_PER_KELVIN: Final = 1e6
"""The product of mired and kelvin."""

LEAST_LIGHT_KELVIN: Final = 1500.0
MOST_LIGHT_KELVIN: Final = 25_000.0
"""Range of the lights that pictures are taken in, from a candle (about 1,800 K) to a clear northern
sky (12,000 to 25,000 K); from memory. A neutral outside it is the colour of a thing."""

NEAR_LOCUS_DUV: Final = 0.002
"""Ohno 2013 uses the triangular solution below this abs(Duv), the parabolic one above."""

COARSE_STRIDE: Final = 32
"""Stride over the rows of the locus table in the coarse search; only for speed."""

TANGENT_STEP_KELVIN: Final = 0.01
"""Temperature step for the tangent of the locus, as in Ohno 2013; smaller steps lose digits."""


def mired_from_kelvin(kelvin: float) -> float:
    """Reciprocal megakelvin of a colour temperature in kelvin."""
    return MIRED_PER_KELVIN / kelvin


def kelvin_from_mired(mired: float) -> float:
    """Kelvin of a colour temperature in reciprocal megakelvin."""
    return MIRED_PER_KELVIN / mired


def is_of_a_light(kelvin: float) -> bool:
    """Whether a colour temperature in kelvin is one that lights have."""
    return LEAST_LIGHT_KELVIN <= kelvin <= MOST_LIGHT_KELVIN


def uv_from_xyz(xyz: NDArray[np.floating]) -> NDArray[np.float64]:
    """CIE 1960 (u, v) of (..., 3) XYZ, not all zero."""
    X, Y, Z = np.moveaxis(np.asarray(xyz, dtype=np.float64), -1, 0)
    total = X + 15 * Y + 3 * Z
    return np.stack([4 * X / total, 6 * Y / total], axis=-1)


def xy_from_uv(uv: NDArray[np.floating]) -> NDArray[np.float64]:
    """CIE 1931 (x, y) of (..., 2) CIE 1960 (u, v)."""
    u, v = np.moveaxis(np.asarray(uv, dtype=np.float64), -1, 0)
    total = 2 * u - 8 * v + 4
    return np.stack([3 * u / total, 2 * v / total], axis=-1)


def xyz_from_xy(xy: NDArray[np.floating]) -> NDArray[np.float64]:
    """XYZ, with luminance 1, of (..., 2) CIE 1931 (x, y)."""
    x, y = np.moveaxis(np.asarray(xy, dtype=np.float64), -1, 0)
    return np.stack([x / y, np.ones_like(y), (1 - x - y) / y], axis=-1)


def _nearest_row(uv: NDArray[np.float64]) -> NDArray[np.intp]:
    """Row of the locus table nearest to each of (N, 2) uv, without the first and the last row."""
    table = planckian_locus().uv
    coarse = table[::COARSE_STRIDE]
    start = np.argmin(((uv[:, np.newaxis] - coarse) ** 2).sum(axis=-1), axis=1) * COARSE_STRIDE
    offsets = np.arange(-COARSE_STRIDE, COARSE_STRIDE + 1)
    rows = np.clip(start[:, np.newaxis] + offsets, 1, len(table) - 2)
    best = np.argmin(((uv[:, np.newaxis] - table[rows]) ** 2).sum(axis=-1), axis=1)
    return np.take_along_axis(rows, best[:, np.newaxis], axis=1)[:, 0]


def cct_duv_from_uv(uv: NDArray[np.floating]) -> NDArray[np.float64]:
    """Correlated colour temperature and Duv of chromaticities (Ohno 2013).

    Parameters
    ----------
    uv : (..., 2) float array
        CIE 1960 (u, v).

    Returns
    -------
    (..., 2) float array
        CCT in kelvin, limited to the table of `planckian_locus`, whose `TABLE_STEP` states the
        error, and Duv. A CCT is not meaningful where abs(Duv) exceeds 0.05 (CIE 15:2018).
    """
    points = np.asarray(uv, dtype=np.float64)
    flat = points.reshape(-1, 2)
    locus = planckian_locus()
    row = _nearest_row(flat)
    before, at, after = row - 1, row, row + 1
    t0, t1, t2 = locus.kelvin[before], locus.kelvin[at], locus.kelvin[after]
    d0, d1, d2 = (np.hypot(*(flat - locus.uv[i]).T) for i in (before, at, after))

    chord = np.hypot(*(locus.uv[after] - locus.uv[before]).T)
    along = np.clip((d0**2 - d2**2 + chord**2) / (2 * chord), 0, chord)
    foot = along / chord
    foot_v = locus.uv[before, 1] + (locus.uv[after, 1] - locus.uv[before, 1]) * foot
    side = np.where(flat[:, 1] >= foot_v, 1.0, -1.0)
    triangular = np.stack(
        [t0 + (t2 - t0) * foot, side * np.sqrt(np.maximum(d0**2 - along**2, 0))], axis=-1
    )

    # The parabola through the three distances; temperatures relative to the middle one.
    s0, s2 = t0 / t1 - 1, t2 / t1 - 1
    curvature = ((d0 - d1) / s0 - (d2 - d1) / s2) / (s0 - s2)
    tilt = (d0 - d1) / s0 - curvature * s0
    curved = curvature > 0
    lowest = np.clip(np.where(curved, -tilt / (2 * np.where(curved, curvature, 1)), 0), s0, s2)
    parabolic = np.stack(
        [t1 * (1 + lowest), side * (d1 + tilt * lowest + curvature * lowest**2)], axis=-1
    )
    near = np.abs(triangular[:, 1:]) < NEAR_LOCUS_DUV
    chosen: NDArray[np.float64] = np.where(near, triangular, parabolic).reshape(points.shape)
    return chosen


def cct_duv_from_xyz(xyz: NDArray[np.floating]) -> NDArray[np.float64]:
    """CCT in kelvin and Duv, (..., 2), of (..., 3) XYZ; see `cct_duv_from_uv`."""
    return cct_duv_from_uv(uv_from_xyz(xyz))


def uv_from_cct_duv(kelvin: float, duv: float = 0.0) -> NDArray[np.float64]:
    """CIE 1960 (u, v) at a colour temperature and a distance from the Planckian locus.

    The inverse of `cct_duv_from_uv` (Ohno 2013, section 5): a step of `duv` from the point on the
    locus, at right angles to it.
    """
    here, cooler, hotter = planckian_uv(
        np.array([kelvin, kelvin - TANGENT_STEP_KELVIN, kelvin + TANGENT_STEP_KELVIN])
    )
    along_u, along_v = cooler - hotter
    length = float(np.hypot(along_u, along_v))
    uv: NDArray[np.float64] = here + duv * np.array([-along_v, along_u]) / length
    return uv


_D65_CCT, D65_DUV = (float(v) for v in cct_duv_from_xyz(D65_XYZ))

D65_MIRED: Final = mired_from_kelvin(_D65_CCT)
"""Colour temperature of a neutral picture (D65, about 6504 K), in mired."""
