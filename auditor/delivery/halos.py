"""Halos of sharpening: overshoot beside strong edges.

Unsharp masking adds to each side of an edge what its blurred copy takes away, so the bright side
becomes brighter and the dark side darker than the areas behind them. The overshoot is read on lines
across strong edges, as a share of the edge's own contrast. A thin line or a glint has one side; of
the two sides of an edge the smaller overshoot counts.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

REACH_PX = 9
"""Length of the line on each side of an edge, in pixels: a halo of radius 2 and an area behind it;
our choice, no source."""

HALO_PX = 5
"""Where a halo ends, in pixels from the edge: unsharp masking for display and print has radii of
about 0.5 to 2 pixels (common practice, no source)."""

LEAST_CONTRAST = 40.0
"""Contrast of the areas on both sides of an edge, 8-bit code values, from which it is strong: its
overshoot is then above the noise and the blocks of a JPEG; our choice, no source."""

MOST_UNEVEN = 0.12
"""Range of the values in the area behind a halo as a share of the contrast above which the area is
no area but texture; our choice, no source."""

MIN_RISE = 0.8
"""Share of the contrast that the middle of the line must cover: a soft edge gets no halo that is
seen; our choice, no source."""

RISE_PX = 2
"""From how many pixels before the edge to how many behind it."""

LEAST_EDGES = 20
"""Edge points below which a picture says nothing; our choice, no source."""

MOST_EDGES = 20_000
"""Edge points that are read, evenly spread over the strong ones."""

UPPER = 75.0
"""Percentile of the edge points that stands for the picture: sharpening shows first at its sharpest
edges. Of 84 photographs of dishes it is 0.02 (half of them) and 0.06 (19 of 20) as they were, 0.11
after unsharp masking of radius 1 px and 200 %, 0.18 of radius 2 px and 200 % (half of them).
Of 79 others with a value, kept for checking, 1 is above 0.10 as it is and none above 0.12; above
0.12 are 41 of 73 after radius 1 px and 200 %, 62 of 69 after radius 2 px and 200 %
(tests/benchmarks/check_halos.py). All are up to 640 px wide; larger ones were not checked."""

SPREAD = 0.015
"""Change by saving a picture again as JPEG of quality 85, of 19 in 20 photographs: a value beyond a
limit by no more decides nothing."""

UNCLIPPED = (5.0, 250.0)
"""Code values between which an area can overshoot on either side."""


def measure_halos(pixels: NDArray[np.uint8]) -> float | None:
    """Measure the overshoot at strong edges.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB, at the size at which the picture is delivered. Green is used: it has most of the
        luminance.

    Returns
    -------
    float or None
        Upper quartile over the edge points, as a share of the edge's contrast, at least 0; higher
        is more. Comparable between pictures at their delivered size only. None if the picture has
        fewer than `LEAST_EDGES` strong edges between even areas.
    """
    green = pixels[..., 1].astype(np.float32)
    if min(green.shape) <= 2 * REACH_PX + 2:
        return None
    rows, columns, down, across = _edge_points(green)
    if rows.size < LEAST_EDGES:
        return None
    steps = np.arange(-REACH_PX, REACH_PX + 1, dtype=np.float32)
    lines = ndimage.map_coordinates(
        green,
        [rows[:, None] + steps * down[:, None], columns[:, None] + steps * across[:, None]],
        order=1,
        mode="nearest",
    )
    overshoots = _overshoots(lines)
    if overshoots.size < LEAST_EDGES:
        return None
    return float(np.percentile(overshoots, UPPER))


def _edge_points(
    green: NDArray[np.float32],
) -> tuple[NDArray[np.float32], ...]:
    """Rows, columns and direction to the bright side of points on the ridges of the gradient."""
    smooth = ndimage.gaussian_filter(green, 1.0)
    down, across = np.gradient(smooth)
    strength = np.hypot(down, across)
    inner = np.zeros(green.shape, bool)
    inner[REACH_PX + 1 : -REACH_PX - 1, REACH_PX + 1 : -REACH_PX - 1] = True
    ridge = (strength >= ndimage.maximum_filter(strength, 3)) & inner
    ridge &= strength >= LEAST_CONTRAST / (2 * HALO_PX)
    rows, columns = np.nonzero(ridge)
    if rows.size > MOST_EDGES:
        kept = np.linspace(0, rows.size - 1, MOST_EDGES).astype(int)
        rows, columns = rows[kept], columns[kept]
    length = strength[rows, columns]
    return (
        rows.astype(np.float32),
        columns.astype(np.float32),
        down[rows, columns] / length,
        across[rows, columns] / length,
    )


def _overshoots(lines: NDArray[np.float32]) -> NDArray[np.float32]:
    """Of each line between two even areas, the smaller of its two overshoots over its contrast."""
    behind = REACH_PX - HALO_PX
    dark, bright = lines[:, :behind], lines[:, -behind:]
    below, above = dark.mean(axis=1), bright.mean(axis=1)
    contrast = above - below
    uneven = np.maximum(np.ptp(dark, axis=1), np.ptp(bright, axis=1))
    good = (contrast >= LEAST_CONTRAST) & (uneven <= MOST_UNEVEN * contrast)
    # A clipped side cannot overshoot.
    good &= (below > UNCLIPPED[0]) & (above < UNCLIPPED[1])
    rise = lines[:, REACH_PX + RISE_PX] - lines[:, REACH_PX - RISE_PX]
    good &= rise >= MIN_RISE * contrast
    inner = lines[good, behind:-behind]
    over = inner.max(axis=1) - above[good]
    under = below[good] - inner.min(axis=1)
    shares: NDArray[np.float32] = np.maximum(np.minimum(over, under), 0) / contrast[good]
    return shares
