"""Mixed light: the two illuminants on either side of a border."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import CONES_FROM_LINEAR
from auditor.colour_signature.neutral_plane import Cells, cone_ratios_from_plane, plane_from_linear
from auditor.measurements.colour_temperature.light_border import BORDER_SHARE, LightBorder
from auditor.measurements.colour_temperature.locus import locus_duv

Floats = NDArray[np.float64]


NEAR_WARMTH_MIRED, NEAR_DUV = 20.0, 0.01
MAIN_SHARE = 0.5
"""Share of a side whose colours lie so near its light that they are taken to be neutral: their
median is then the light. It corrects what two lights differ in Duv; no source."""


@dataclass(frozen=True, slots=True)
class Cluster:
    """One illuminant.

    Attributes
    ----------
    position : tuple of float
        Warmth in mired and Duv, relative to D65.
    share : float
        Share of the free usable cells on its side of the border, in [0, 1].
    """

    position: tuple[float, float]
    share: float


def _along_locus(start: Floats, warmer: Floats) -> Floats:
    """Vectors (..., 2) in the plane from a light to lights that are warmer by so much."""
    duv = locus_duv(start[0] + warmer) - locus_duv(start[0])
    return np.stack([warmer, duv], axis=-1)


def _warmer(border: LightBorder, cells: Cells) -> Floats:
    """How much warmer than the mean light each cell is lit, (rows, columns)."""
    mean = float(border.warm_share[cells.usable].mean())
    return border.apart_mired * (border.warm_share - mean)


def in_one_light(cells: Cells, border: LightBorder, neutral: Floats) -> Cells:
    """The cells as they were under the mean of both lights alone.

    Parameters
    ----------
    cells : Cells
    border : LightBorder
    neutral : (2,) float array
        Position of the mean light, at least roughly: it decides how the locus curves.

    Returns
    -------
    Cells
        Without those on the border: where it is a little off, their colours are wrong.
    """
    ratios = cone_ratios_from_plane(_along_locus(neutral, _warmer(border, cells)))
    gains = np.exp(-np.insert(ratios, 1, 0.0, axis=-1))
    cones = cells.light @ CONES_FROM_LINEAR.T * gains
    light = np.maximum(cones @ np.linalg.inv(CONES_FROM_LINEAR).T, 0)
    is_on_border = np.abs(border.warm_share - 0.5) < 0.5 - BORDER_SHARE
    usable = cells.usable & ~is_on_border
    kept = usable[cells.usable]
    return Cells(
        plane_from_linear(light[usable]), cells.brightness[kept], light, usable, cells.occupied
    )


def clusters_of(cells: Cells, border: LightBorder, neutral: Floats) -> tuple[Cluster, ...]:
    """The two illuminants, larger share first.

    Parameters
    ----------
    cells : Cells
    border : LightBorder
    neutral : (2,) float array
        Position of the mean light.

    Returns
    -------
    tuple of Cluster
    """
    warm_share = border.warm_share[cells.usable]
    mean = float(warm_share.mean())
    free = border.warm_share[cells.usable & ~cells.occupied]
    share = float((free > 0.5).mean()) if len(free) else mean
    sides = (
        (-mean, 1 - share, warm_share < BORDER_SHARE),
        (1 - mean, share, warm_share > 1 - BORDER_SHARE),
    )
    both = []
    for warmer, part, is_lit in sides:
        light = neutral + _along_locus(neutral, np.asarray(warmer * border.apart_mired))
        warmth, duv = _main_colour(cells.plane[is_lit], light).tolist()
        both.append(Cluster((warmth, duv), part))
    return tuple(sorted(both, key=lambda cluster: (-cluster.share, cluster.position)))


def _main_colour(plane: Floats, light: Floats) -> Floats:
    """Median of the colours near a light if most of one side is near it, otherwise the light."""
    away = np.abs(plane - light)
    near = plane[(away[:, 0] <= NEAR_WARMTH_MIRED) & (away[:, 1] <= NEAR_DUV)]
    is_main = len(near) > 0 and len(near) >= MAIN_SHARE * len(plane)
    return np.median(near, axis=0) if is_main else light
