"""The main colour of a region: that of one material, in light and shade, over most of its area.

Light and shade on one wall change the luminance and hardly the chromaticity. CIELAB grows with the
cube root of luminance, so (L* + 16, a*, b*) are all multiplied by the same factor, and a* and b*
relative to L* + 16 stay. Cells are therefore grouped by these first, then by lightness.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import Lab

LIGHTNESS_OFFSET = 16.0
"""L* + 16 is 116 times the cube root of relative luminance (CIE 15:2018, above L* of 8)."""

REFERENCE_LIGHTNESS = 50.0
"""L* at which relative a* and b* are stated, so that their unit is that of CIELAB."""

DARKEST_LIGHTNESS = 15.0
"""L* below which a* and b* are not scaled further: there they are noise of coding."""

CHROMATICITY_RADIUS_LAB = 16.0
"""Distance of relative a* and b* within which cells are one material: a shade lit by the sky and a
patch lit by the sun differ by about as much; by eye."""

SHADE_EV = 1.75
"""Luminance either way within which cells of one chromaticity are one material in light and shade;
black and white squares of a cloth differ by more (by eye)."""

MIN_COVER = 0.5
"""Share of the region that its main colour must cover: "most of it"."""

BIN_LAB = 4.0
"""Bin width of the histogram that starts the search, CIELAB units."""

MAX_ITERATIONS = 12
"""Of the mode search; it converges in about five."""

CONVERGED_LAB = 0.01
"""Change of the mode, CIELAB units, below which the search has converged."""


@dataclass(frozen=True, slots=True)
class MainColour:
    """The main colour of a region.

    Attributes
    ----------
    lab : tuple of float
        CIELAB.
    cover : float
        Share of the region's cells that are of this colour, in light or shade, in [0, 1].
    """

    lab: Lab
    cover: float


def main_colour(lab: NDArray[np.float64]) -> MainColour | None:
    """Find the colour of most of a region.

    Parameters
    ----------
    lab : (N, 3) float array
        CIELAB of the region's cells, at least one.

    Returns
    -------
    MainColour or None
        None if no colour covers `MIN_COVER` of the region.
    """
    lightness = lab[:, 0] + LIGHTNESS_OFFSET
    scale = (REFERENCE_LIGHTNESS + LIGHTNESS_OFFSET) / np.maximum(
        lightness, DARKEST_LIGHTNESS + LIGHTNESS_OFFSET
    )
    relative = lab[:, 1:] * scale[:, np.newaxis]
    apart = relative - _mode(relative)
    alike = np.flatnonzero((apart**2).sum(axis=1) <= CHROMATICITY_RADIUS_LAB**2)
    alike = alike[_fullest_window(3 * np.log2(lightness[alike]), 2 * SHADE_EV)]
    cover = alike.size / len(lab)
    if cover < MIN_COVER:
        return None
    # Of light and shade the median is one of both. Of a* and b* it would be one level of 8 bits, so
    # that the mean of the middle fifth is taken.
    ordered = np.sort(lab[alike, 1:], axis=0)
    middle = ordered[2 * len(ordered) // 5 : 3 * len(ordered) // 5 + 1]
    a, b = (float(value) for value in middle.mean(axis=0))
    return MainColour((float(np.median(lab[alike, 0])), a, b), cover)


def _mode(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Densest place of (N, 2) points."""
    steps = np.floor(points / BIN_LAB).astype(np.intp)
    steps -= steps.min(axis=0)
    codes = np.ravel_multi_index(tuple(steps.T), tuple(steps.max(axis=0) + 1))
    centre: NDArray[np.float64] = points[codes == np.argmax(np.bincount(codes))].mean(axis=0)
    for _ in range(MAX_ITERATIONS):
        near = ((points - centre) ** 2).sum(axis=1) <= CHROMATICITY_RADIUS_LAB**2
        moved = np.median(points[near], axis=0)
        if np.allclose(moved, centre, atol=CONVERGED_LAB):
            break
        centre = moved
    return centre


def _fullest_window(values: NDArray[np.float64], width: float) -> NDArray[np.intp]:
    """Indices of the values in the interval of a given width that holds the most of them."""
    order = np.argsort(values, kind="stable")
    ends = np.searchsorted(values[order], values[order] + width, side="right")
    counts = ends - np.arange(values.size)
    first = int(np.argmax(counts))
    return order[first : ends[first]]
