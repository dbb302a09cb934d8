"""The colours of background and surface."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_dilation

from auditor.colorimetry import (
    Swatch,
    cell_light,
    ciede2000,
    hex_from_lab,
    lab_from_linear,
    on_grid,
)
from auditor.measurements.background_and_surface.main_colour import main_colour
from auditor.measurements.background_and_surface.table_edge import TableEdge, find_table_edge
from auditor.quantity import Quantity
from auditor.reasons import Reason

GRID_LONGEST_SIDE = 96
"""Cells along the longest side: the weave of a cloth averages to one colour, a table edge stays."""

OVERHEAD_DEG = 65.0
"""Camera elevation above which the frame shows only the surface; common practice, no source."""

STEEP_DEG = 35.0
"""Camera elevation above which a background is rare: half of the vertical angle of view of a normal
lens is about 20 degrees, and few tables are longer than the distance to the camera."""

LEVEL_DEG = 20.0
"""Camera elevation below which the frame reaches beyond any table: half of the vertical angle of
view of a normal lens."""

MIN_EDGE_STRENGTH_LAB = 8.0
"""Strength from which a line is a table edge, CIELAB units: twice the variation within a cloth."""

STEEP_MIN_EDGE_STRENGTH_LAB = 16.0
"""The same above `STEEP_DEG`, where a line is more likely the edge of a cloth."""

MIN_AREA_FRACTION = 0.02
"""Share of the frame below which background or surface cannot be measured; no source."""

TOLERANCE_DIFFERENCE = 8.0
"""Tolerance of the measured colour, CIEDE2000: a clearly different shade of the same hue."""

SPREAD_DIFFERENCE = 3.0
"""Spread of the colour of a right region along each axis: its shading (no source)."""

# Confidences; no source, not calibrated.
MAX_CERTAINTY = 0.95
EDGE_CERTAINTY = 0.5  # that a line just strong enough is a table edge
EDGE_CERTAINTY_GAIN = 0.45  # for twice that strength
ONLY_SURFACE_CERTAINTY = 0.7  # without an edge, if the elevation is unknown or moderate
ONLY_BACKGROUND_CERTAINTY = 0.6  # without an edge, if the camera is level with the table
COLOUR_FACTOR_OFFSET, COLOUR_FACTOR_SLOPE = 0.4, 0.75  # reaches 1 where 80 % of cells are alike


@dataclass(frozen=True, slots=True)
class BackgroundAndSurface:
    """The colours of background and surface; their tolerances are CIEDE2000 differences.

    Attributes
    ----------
    background : Quantity of Swatch
        What stands behind the food.
    surface : Quantity of Swatch
        What the food stands on.
    """

    background: Quantity[Swatch]
    surface: Quantity[Swatch]


def _colour_of(
    lab: NDArray[np.float64], region: NDArray[np.bool_], certainty: float, missing: Reason
) -> Quantity[Swatch]:
    """Measure the colour of a region.

    `certainty` is the probability that the region is the background, or the surface.
    """
    share = float(region.mean())
    if share < MIN_AREA_FRACTION:
        return Quantity.undetermined(missing)
    cells = lab[region]
    main = main_colour(cells)
    if main is None:
        return Quantity.undetermined(Reason.NO_MAIN_COLOUR)
    alike = ciede2000(cells, np.array([main.lab])) <= TOLERANCE_DIFFERENCE
    # Where few cells have this colour, another colour may be the main one.
    factor = min(1.0, COLOUR_FACTOR_OFFSET + COLOUR_FACTOR_SLOPE * float(alike.mean()))
    swatch = Swatch(hex_from_lab(main.lab), main.lab, share)
    return Quantity.measured(
        swatch,
        confidence=certainty * factor,
        tolerance=TOLERANCE_DIFFERENCE,
        spread=SPREAD_DIFFERENCE,
        dimensions=3,
    )


def _accepted(
    edge: TableEdge | None,
    free: NDArray[np.bool_],
    elevation_deg: float | None,
) -> TableEdge | None:
    """Return the edge if it is strong enough and leaves enough free cells on both sides."""
    steep = elevation_deg is not None and elevation_deg >= STEEP_DEG
    least = STEEP_MIN_EDGE_STRENGTH_LAB if steep else MIN_EDGE_STRENGTH_LAB
    if edge is None or edge.strength < least:
        return None
    below = edge.is_below(*free.shape)
    parts = [free & ~below, free & below]
    if min(float(part.mean()) for part in parts) < MIN_AREA_FRACTION:
        return None
    return edge


def _without_edge(
    lab: NDArray[np.float64], free: NDArray[np.bool_], elevation_deg: float | None
) -> BackgroundAndSurface:
    """Measure a surface, or, if the camera is level with the table, a background."""
    if elevation_deg is not None and elevation_deg < LEVEL_DEG:
        background = _colour_of(lab, free, ONLY_BACKGROUND_CERTAINTY, Reason.ELEMENTS_FILL_FRAME)
        return BackgroundAndSurface(background, Quantity.undetermined(Reason.ONLY_BACKGROUND))
    sure = elevation_deg is not None and elevation_deg >= STEEP_DEG
    certainty = MAX_CERTAINTY if sure else ONLY_SURFACE_CERTAINTY
    surface = _colour_of(lab, free, certainty, Reason.ELEMENTS_FILL_FRAME)
    return BackgroundAndSurface(Quantity.undetermined(Reason.ONLY_SURFACE), surface)


def measure_background_and_surface(
    pixels: NDArray[np.uint8], occupied: NDArray[np.bool_], elevation_deg: float | None
) -> BackgroundAndSurface:
    """Separate background and surface at the table edge and measure the colour of each.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    occupied : (h, w) bool array
        Subject and elements, covering the frame.
    elevation_deg : float or None
        Camera elevation. From overhead (`OVERHEAD_DEG` and above) there is only a surface.

    Returns
    -------
    BackgroundAndSurface
        Each colour is that of the material that covers most of the area, in light and shade
        (`main_colour`), so that a sunlit patch, a shadow or a thing on it does not tint it.
        `Swatch.share` is the share of the frame that the whole background or surface covers.
        Undetermined with `Reason.ONLY_SURFACE`, `Reason.ONLY_BACKGROUND`,
        `Reason.ELEMENTS_FILL_FRAME` or, where no colour covers most of it,
        `Reason.NO_MAIN_COLOUR`.
    """
    lab = lab_from_linear(cell_light(pixels, GRID_LONGEST_SIDE)).astype(np.float64)
    free = ~binary_dilation(on_grid(occupied, *lab.shape[:2]))
    if float(free.mean()) < MIN_AREA_FRACTION:
        nothing: Quantity[Swatch] = Quantity.undetermined(Reason.ELEMENTS_FILL_FRAME)
        return BackgroundAndSurface(nothing, nothing)
    edge = None
    if elevation_deg is None or elevation_deg < OVERHEAD_DEG:
        edge = _accepted(find_table_edge(lab, free), free, elevation_deg)
    if edge is None:
        return _without_edge(lab, free, elevation_deg)
    below = edge.is_below(*free.shape)
    excess = edge.strength / MIN_EDGE_STRENGTH_LAB - 1
    certainty = min(MAX_CERTAINTY, EDGE_CERTAINTY + EDGE_CERTAINTY_GAIN * excess)
    return BackgroundAndSurface(
        _colour_of(lab, free & ~below, certainty, Reason.ONLY_SURFACE),
        _colour_of(lab, free & below, certainty, Reason.ONLY_BACKGROUND),
    )
