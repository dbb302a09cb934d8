"""The colours of background and surface."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_dilation
from skimage.color import deltaE_ciede2000

from auditor.colorimetry import (
    Lab,
    Swatch,
    cell_light,
    hex_from_lab,
    lab_from_linear,
    on_grid,
)
from auditor.measurements.background_and_surface.table_edge import TableEdge, find_table_edge
from auditor.quantity import Quantity
from auditor.reasons import Reason

GRID_LONGEST_SIDE = 96
"""Cells along the longest side: the weave of a cloth becomes one colour, a table edge stays."""

OVERHEAD_DEG = 65.0
"""Camera elevation above which only the surface is in the frame; common practice."""

STEEP_DEG = 35.0
"""Camera elevation above which a background is rare: half the height of view of a normal lens is
about 20 degrees, and a table is seldom longer than it is far."""

LEVEL_DEG = 20.0
"""Camera elevation below which the frame reaches past any table: half the height of view of a
normal lens."""

STEP_LAB = 8.0
"""Strength from which a line is a table edge, CIELAB units: twice a shade of one cloth."""

STEEP_STEP_LAB = 16.0
"""The same above `STEEP_DEG`, where the edge of a cloth is likelier than that of the table."""

LEAST_GROUND_FRACTION = 0.02
"""Share of the frame below which a ground cannot be measured."""

SHADE_LAB = 12.0
"""CIELAB distance within which ground belongs to one colour under uneven light."""

MODE_BIN_LAB = 6.0
"""Bin of the histogram in which the most frequent colour is sought, CIELAB units."""

MODE_ITERATIONS = 12
"""Steps towards the middle of the most frequent colour; it takes about five."""

TOLERANCE_DIFFERENCE = 8.0
"""CIEDE2000 within which the told colour is meant to lie: a clear shade apart, the same hue."""


@dataclass(frozen=True, slots=True)
class Grounds:
    """What lies outside the elements; tolerances are CIEDE2000."""

    background: Quantity[Swatch]
    surface: Quantity[Swatch]


def _most_frequent(lab: NDArray[np.float64]) -> Lab:
    """Middle of the most frequent colour of (N, 3) CIELAB."""
    steps = np.floor(lab / MODE_BIN_LAB).astype(np.intp)
    steps -= steps.min(axis=0)
    codes = np.ravel_multi_index(tuple(steps.T), tuple(steps.max(axis=0) + 1))
    middle = lab[codes == np.argmax(np.bincount(codes))].mean(axis=0)
    for _ in range(MODE_ITERATIONS):
        near = ((lab - middle) ** 2) @ np.ones(3) <= SHADE_LAB**2
        moved = np.median(lab[near], axis=0)
        if np.allclose(moved, middle, atol=0.01):
            break
        middle = moved
    lightness, a, b = (float(v) for v in middle)
    return (lightness, a, b)


def _colour_of(
    lab: NDArray[np.float64], region: NDArray[np.bool_], certainty: float, missing: Reason
) -> Quantity[Swatch]:
    """Colour of the ground in a region; `certainty` that the region is what it is taken for."""
    share = float(region.mean())
    if share < LEAST_GROUND_FRACTION:
        return Quantity.undetermined(missing)
    cells = lab[region]
    colour = _most_frequent(cells)
    alike = deltaE_ciede2000(cells, np.array([colour])) <= TOLERANCE_DIFFERENCE
    # Where less than half of the ground has the told colour, another has a claim to be it.
    confidence = certainty * min(1.0, 0.4 + 0.6 * 1.25 * float(alike.mean()))
    swatch = Swatch(hex_from_lab(colour), colour, share)
    return Quantity.measured(swatch, confidence=confidence, tolerance=TOLERANCE_DIFFERENCE)


def _accepted(
    edge: TableEdge | None,
    ground: NDArray[np.bool_],
    elevation_deg: float | None,
) -> TableEdge | None:
    """Keep the edge if it is strong enough and leaves enough ground on both sides."""
    steep = elevation_deg is not None and elevation_deg >= STEEP_DEG
    if edge is None or edge.strength < (STEEP_STEP_LAB if steep else STEP_LAB):
        return None
    below = edge.is_below(*ground.shape)
    parts = [ground & ~below, ground & below]
    if min(float(part.mean()) for part in parts) < LEAST_GROUND_FRACTION:
        return None
    return edge


def _one_ground(
    lab: NDArray[np.float64], ground: NDArray[np.bool_], elevation_deg: float | None
) -> Grounds:
    """Without an edge: a surface, or from the level of the table a background."""
    if elevation_deg is not None and elevation_deg < LEVEL_DEG:
        background = _colour_of(lab, ground, 0.6, Reason.ELEMENTS_FILL_FRAME)
        return Grounds(background, Quantity.undetermined(Reason.ONLY_BACKGROUND))
    sure = elevation_deg is not None and elevation_deg >= STEEP_DEG
    surface = _colour_of(lab, ground, 0.95 if sure else 0.7, Reason.ELEMENTS_FILL_FRAME)
    return Grounds(Quantity.undetermined(Reason.ONLY_SURFACE), surface)


def measure_grounds(
    pixels: NDArray[np.uint8], occupied: NDArray[np.bool_], elevation_deg: float | None
) -> Grounds:
    """Tell background and surface apart and measure the colour of each.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    occupied : (h, w) bool array
        Subject and elements, covering the frame.
    elevation_deg : float or None
        From overhead (above about 65 degrees) there is a surface only.

    Returns
    -------
    Grounds
        A colour is the middle of the most frequent one, not the mean: a shadow or a fold does not
        tint it. `Swatch.share` is the share of the frame that the whole ground covers.
    """
    lab = lab_from_linear(cell_light(pixels, GRID_LONGEST_SIDE)).astype(np.float64)
    ground = ~binary_dilation(on_grid(occupied, *lab.shape[:2]))
    if float(ground.mean()) < LEAST_GROUND_FRACTION:
        nothing: Quantity[Swatch] = Quantity.undetermined(Reason.ELEMENTS_FILL_FRAME)
        return Grounds(nothing, nothing)
    edge = None
    if elevation_deg is None or elevation_deg < OVERHEAD_DEG:
        edge = _accepted(find_table_edge(lab, ground), ground, elevation_deg)
    if edge is None:
        return _one_ground(lab, ground, elevation_deg)
    below = edge.is_below(*ground.shape)
    certainty = min(0.95, 0.5 + 0.45 * (edge.strength / STEP_LAB - 1))
    return Grounds(
        _colour_of(lab, ground & ~below, certainty, Reason.ONLY_SURFACE),
        _colour_of(lab, ground & below, certainty, Reason.ONLY_BACKGROUND),
    )
