"""The plane in which neutrals are sought: warmth in mired against greenness in Duv.

Logarithmic Bradford ratios, turned so that one axis runs along the Planckian locus at D65 and the
other across it. A change of white moves every colour of a picture by the same vector there: how far
two pictures of one scene differ is how far the one must be moved to lie over the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import (
    D65_DUV,
    D65_MIRED,
    XYZ_FROM_LINEAR,
    cct_duv_from_xyz,
    cell_light,
    cone_ratios_from_linear,
    kelvin_from_mired,
    linear_from_cone_ratios,
    linear_from_xyz,
    mired_from_kelvin,
    on_grid,
    shift_mired,
    uv_from_cct_duv,
    xy_from_uv,
    xyz_from_linear,
    xyz_from_xy,
)

GRID_LONGEST_SIDE = 96
"""Cells along the longest side: grain and weave are averaged away, a saucer is a few cells."""

BRIGHTEST_LINEAR = 0.95
"""Mean linear value of a cell (code value 249) above which a channel is mostly clipped and its
colour false. Cells with a few clipped pixels stay: without them white porcelain would drop out of
one of two exposures of a scene and not of the other."""

LEAST_CELLS = 60
"""Usable cells, of about 6000, below which a picture is black, white or clipped."""

DARKEST_LUMINANCE = 0.01
"""Luminance (code value 25) below which 8 bits no longer tell a colour."""

BRIGHT_PERCENTILE = 95.0
"""Brightness is told relative to this percentile of luminance: the light tones of the picture."""

WARMTHS_MIRED = (-110.0, 320.0, 2.0)
"""From deep shade to candle light, as far as mired is told from warmth."""

AXIS_STEP_MIRED = 10.0
AXIS_STEP_DUV = 0.003
"""Steps over which the axes are taken at D65; small against the curve of the locus."""


@dataclass(frozen=True, slots=True)
class Cells:
    """The usable cells of a picture.

    Attributes
    ----------
    plane : (N, 2) float array
        Warmth relative to D65 in mired, and Duv relative to that of D65.
    brightness : (N,) float array
        Luminance over the light tones of the picture.
    light : (rows, columns, 3) float array
        Linear sRGB of all cells.
    usable : (rows, columns) bool array
        Neither clipped nor too dark.
    occupied : (rows, columns) bool array
        Covered by the subject or an element.
    """

    plane: NDArray[np.float64]
    brightness: NDArray[np.float64]
    light: NDArray[np.float64]
    usable: NDArray[np.bool_]
    occupied: NDArray[np.bool_]


@lru_cache(maxsize=1)
def _ratios_from_plane() -> NDArray[np.float64]:
    """(2, 2) matrix whose columns are the axes, in logarithmic Bradford ratios."""
    white = np.ones(3)
    warm, cool = (
        cone_ratios_from_linear(shift_mired(white, step))
        for step in (AXIS_STEP_MIRED, -AXIS_STEP_MIRED)
    )
    green, magenta = (
        cone_ratios_from_linear(
            linear_from_xyz(
                xyz_from_xy(
                    xy_from_uv(uv_from_cct_duv(kelvin_from_mired(D65_MIRED), D65_DUV + step))
                )
            )
        )
        for step in (AXIS_STEP_DUV, -AXIS_STEP_DUV)
    )
    return np.column_stack(
        [(warm - cool) / (2 * AXIS_STEP_MIRED), (green - magenta) / (2 * AXIS_STEP_DUV)]
    )


def plane_from_linear(linear: NDArray[np.floating]) -> NDArray[np.float64]:
    """Position in the plane of (..., 3) linear sRGB."""
    ratios = cone_ratios_from_linear(np.asarray(linear, dtype=np.float64))
    plane: NDArray[np.float64] = ratios @ np.linalg.inv(_ratios_from_plane()).T
    return plane


def cone_ratios_from_plane(position: NDArray[np.floating]) -> NDArray[np.float64]:
    """Logarithmic Bradford ratios (..., 2) of (..., 2) positions in the plane."""
    ratios: NDArray[np.float64] = np.asarray(position, dtype=np.float64) @ _ratios_from_plane().T
    return ratios


def cct_duv_from_plane(position: NDArray[np.floating]) -> tuple[float, float]:
    """Colour temperature in kelvin and Duv, exactly, of one position in the plane."""
    ratios = cone_ratios_from_plane(position)
    cct_k, duv = cct_duv_from_xyz(xyz_from_linear(linear_from_cone_ratios(ratios)))
    return float(cct_k), float(duv)


@lru_cache(maxsize=1)
def _warmth_and_mired() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    warmth = np.arange(*WARMTHS_MIRED, dtype=np.float64)
    return warmth, np.array([mired_from_kelvin(cct_duv_from_plane(np.array([w, 0.0]))[0])
                             for w in warmth])  # fmt: skip


def mired_from_warmth(warmth: float) -> float:
    """Mired of a light of D65's Duv at this warmth; the two scales bend apart far from D65."""
    return float(np.interp(warmth, *_warmth_and_mired()))


def warmth_from_mired(mired: float) -> float:
    """Position along the plane's axis of a light of D65's Duv."""
    warmth, scale = _warmth_and_mired()
    return float(np.interp(mired, scale, warmth))


def cells_of(pixels: NDArray[np.uint8], occupied: NDArray[np.bool_]) -> Cells:
    """Reduce (H, W, 3) uint8 sRGB pixels to cells; `occupied` (h, w) covers the frame."""
    light = cell_light(pixels, GRID_LONGEST_SIDE).astype(np.float64)
    luminance = light @ XYZ_FROM_LINEAR[1]
    usable = (light.max(axis=-1) <= BRIGHTEST_LINEAR) & (luminance >= DARKEST_LUMINANCE)
    chosen = luminance[usable]
    reference = float(np.percentile(chosen, BRIGHT_PERCENTILE)) if chosen.size else 1.0
    covered = on_grid(occupied, *usable.shape)
    return Cells(plane_from_linear(light[usable]), chosen / reference, light, usable, covered)
