"""The plane in which neutrals are searched for: warmth in mired, and Duv.

Logarithmic Bradford ratios, transformed linearly so that at D65 one axis runs along the Planckian
locus and the other across it. A change of white shifts all colours of a picture by the same vector
in this plane. The difference in white between two pictures of one scene is therefore the vector
that aligns their colours.
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
"""Cells along the longest side: grain and weave are averaged out, a saucer covers a few cells."""

BRIGHTEST_LINEAR = 0.95
"""Mean linear value of a channel (code value 249) above which most of a cell is clipped and its
colour wrong. Cells with a few clipped pixels are kept: otherwise white porcelain would count in one
of two exposures of a scene and not in the other."""

MIN_CELLS = 60
"""Usable cells, of about 6000, below which a picture counts as black, white or clipped."""

DARKEST_LUMINANCE = 0.01
"""Luminance (code value 25) below which 8 bits are too coarse for a colour."""

BRIGHT_PERCENTILE = 95.0
"""Percentile of luminance to which brightness is relative: the light tones of the picture."""

WARMTH_TABLE_MIRED = (-110.0, 320.0, 2.0)
"""Start, stop and step of the table that converts between warmth and mired: from deep shade to
candle light."""

AXIS_STEP_MIRED = 10.0
AXIS_STEP_DUV = 0.003
"""Steps either way from D65 that define the axes; small against the curvature of the locus."""


@dataclass(frozen=True, slots=True)
class Cells:
    """The usable cells of a picture.

    Attributes
    ----------
    plane : (N, 2) float array
        Of the usable cells: warmth relative to D65 in mired, and Duv relative to that of D65.
    brightness : (N,) float array
        Of the usable cells: luminance relative to the light tones of the picture.
    light : (rows, columns, 3) float array
        Linear sRGB of all cells.
    usable : (rows, columns) bool array
        True where a cell is neither clipped nor too dark.
    occupied : (rows, columns) bool array
        True where the subject or an element covers the cell.
    """

    plane: NDArray[np.float64]
    brightness: NDArray[np.float64]
    light: NDArray[np.float64]
    usable: NDArray[np.bool_]
    occupied: NDArray[np.bool_]


@lru_cache(maxsize=1)
def _ratios_from_plane() -> NDArray[np.float64]:
    """Axes of the plane as the columns of a (2, 2) matrix, in logarithmic Bradford ratios."""
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
    """Positions (..., 2) in the plane of (..., 3) linear sRGB."""
    ratios = cone_ratios_from_linear(np.asarray(linear, dtype=np.float64))
    plane: NDArray[np.float64] = ratios @ np.linalg.inv(_ratios_from_plane()).T
    return plane


def cone_ratios_from_plane(position: NDArray[np.floating]) -> NDArray[np.float64]:
    """Logarithmic Bradford ratios (..., 2) of (..., 2) positions in the plane."""
    ratios: NDArray[np.float64] = np.asarray(position, dtype=np.float64) @ _ratios_from_plane().T
    return ratios


def cct_duv_from_plane(position: NDArray[np.floating]) -> tuple[float, float]:
    """Colour temperature in kelvin and Duv of one (2,) position in the plane, exactly."""
    ratios = cone_ratios_from_plane(position)
    cct_k, duv = cct_duv_from_xyz(xyz_from_linear(linear_from_cone_ratios(ratios)))
    return float(cct_k), float(duv)


@lru_cache(maxsize=1)
def _warmth_and_mired() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    warmth = np.arange(*WARMTH_TABLE_MIRED, dtype=np.float64)
    return warmth, np.array([mired_from_kelvin(cct_duv_from_plane(np.array([w, 0.0]))[0])
                             for w in warmth])  # fmt: skip


def mired_from_warmth(warmth: float) -> float:
    """Mired of a light with the Duv of D65 at this warmth; the scales diverge far from D65."""
    return float(np.interp(warmth, *_warmth_and_mired()))


def warmth_from_mired(mired: float) -> float:
    """Warmth of a light with the Duv of D65 at this mired; the inverse of `mired_from_warmth`."""
    warmth, scale = _warmth_and_mired()
    return float(np.interp(mired, scale, warmth))


def cells_of(pixels: NDArray[np.uint8], occupied: NDArray[np.bool_]) -> Cells:
    """Reduce a picture to cells.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    occupied : (h, w) bool array
        Subject and elements, covering the same frame.

    Returns
    -------
    Cells
    """
    light = cell_light(pixels, GRID_LONGEST_SIDE).astype(np.float64)
    luminance = light @ XYZ_FROM_LINEAR[1]
    usable = (light.max(axis=-1) <= BRIGHTEST_LINEAR) & (luminance >= DARKEST_LUMINANCE)
    chosen = luminance[usable]
    reference = float(np.percentile(chosen, BRIGHT_PERCENTILE)) if chosen.size else 1.0
    covered = on_grid(occupied, *usable.shape)
    return Cells(plane_from_linear(light[usable]), chosen / reference, light, usable, covered)
