"""The table edge: a nearly horizontal line between surface and background.

Every nearly horizontal line is tried. Column by column, the free cells (those that no element
covers) just above it are compared with those just below. At a table edge the colour changes in the
same way over most columns; at a texture, an element or a fall-off of light it does not.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

STEEPEST_DEG = 9.0
"""Slope of the steepest line tried: allows for camera roll and for a table seen at an angle."""

N_SLOPES = 13
"""Number of slopes tried, including horizontal."""

BAND_FRACTION = 0.07
"""Height of the bands above and below a line, as a fraction of the frame's height."""

GAP_CELLS = 1
"""Rows left out on each side of a line: an edge behind the plane of focus is blurred."""

MARGIN_FRACTION = 0.03
"""Least height of background and surface, as a fraction of the frame's height."""

MIN_COLUMNS_FRACTION = 0.25
"""Share of the columns that must have free cells on both sides of a line."""

FULL_COLUMNS_FRACTION = 0.6
"""Share of the columns from which a line has its full strength: elements may hide the rest."""

MIN_BAND_FRACTION = 0.5
"""Share of a column's band that must be free for the column to count."""

MIN_PROJECTION = 0.5
"""Change of a column along the typical change, relative to it, from which the column agrees."""


@dataclass(frozen=True, slots=True)
class TableEdge:
    """The strongest candidate line.

    Attributes
    ----------
    left, right : float
        Height of the line at the left and the right edge of the frame, as fractions.
    strength : float
        CIELAB units. The contrast across the line, or, where it is lower, the geometric mean of
        that contrast and the difference between the two whole parts (a shadow has an edge, but the
        same colour on both sides). Multiplied by the share of columns that change alike; reduced
        where few columns have free cells.
    """

    left: float
    right: float
    strength: float

    def is_below(self, n_rows: int, n_columns: int) -> NDArray[np.bool_]:
        """Mask of the cells below the line."""
        x = (np.arange(n_columns) + 0.5) / n_columns
        y = (np.arange(n_rows) + 0.5) / n_rows
        below: NDArray[np.bool_] = y[:, np.newaxis] > self.left + (self.right - self.left) * x
        return below


def _candidates(n_rows: int, n_columns: int) -> NDArray[np.float64]:
    """Rows of every candidate line at the left and the right edge of the frame, (N, 2)."""
    rise = np.tan(np.radians(np.linspace(-STEEPEST_DEG, STEEPEST_DEG, N_SLOPES))) * n_columns
    middle = np.arange(1.0, n_rows)
    left = middle[:, np.newaxis] - rise / 2
    lines = np.stack([left, left + rise], axis=-1).reshape(-1, 2)
    margin = MARGIN_FRACTION * n_rows
    inside = (lines.min(axis=1) >= margin) & (lines.max(axis=1) <= n_rows - margin)
    kept: NDArray[np.float64] = lines[inside]
    return kept


def _band_means(
    sums: NDArray[np.float32], counts: NDArray[np.float32], first: int, height: int
) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
    """Mean CIELAB of a band for every row and column, and whether enough of it is free.

    `sums` and `counts` are cumulative over the rows. The band of a row starts `first` rows from it,
    and is cut at the frame's edge.
    """
    rows = np.arange(counts.shape[0])
    top, bottom = (np.clip(rows + start, 0, rows[-1]) for start in (first, first + height))
    n = counts[bottom] - counts[top]
    mean = (sums[bottom] - sums[top]) / np.maximum(n, 1)[..., np.newaxis]
    return mean, n >= height * MIN_BAND_FRACTION


def _agreement(
    change: NDArray[np.float32], valid: NDArray[np.bool_]
) -> tuple[NDArray[np.float32], NDArray[np.float64]]:
    """Contrast of each line, and the share of its valid columns that change alike.

    The contrast is that of the mean change over the columns. The mean is then repeated over the
    columns whose change goes at least half as far in the same direction, to exclude things at the
    line that no mask covers.

    Parameters
    ----------
    change : (lines, columns, 3) float array
        CIELAB change across the line.
    valid : (lines, columns) bool array

    Returns
    -------
    contrast : (lines,) float array
        CIELAB units.
    consistency : (lines,) float array
        In [0, 1].
    """
    counted = valid
    for _ in range(2):
        n = np.maximum(counted.sum(axis=1), 1)[:, np.newaxis]
        typical = np.einsum("lcv,lc->lv", change, counted.astype(np.float32)) / n
        contrast = np.sqrt((typical**2).sum(axis=1))
        along = np.einsum("lcv,lv->lc", change, typical)
        counted = (along > (contrast**2)[:, np.newaxis] * MIN_PROJECTION) & valid
    return contrast, counted.sum(axis=1) / valid.sum(axis=1)


def _parts_difference(
    sums: NDArray[np.float32], counts: NDArray[np.float32], places: NDArray[np.intp]
) -> NDArray[np.float32]:
    """CIELAB difference between the mean of all free cells above and below each line.

    `places` (lines, columns) are the indices of the lines in the flattened `counts`.
    """
    n_above = counts.ravel()[places].sum(axis=1)[:, np.newaxis]
    above = sums.reshape(-1, 3).take(places, axis=0).sum(axis=1)
    n_below, below = counts[-1].sum() - n_above, sums[-1].sum(axis=0) - above
    difference = below / np.maximum(n_below, 1) - above / np.maximum(n_above, 1)
    length: NDArray[np.float32] = np.sqrt((difference**2).sum(axis=1))
    return length


def find_table_edge(lab: NDArray[np.floating], free: NDArray[np.bool_]) -> TableEdge | None:
    """Find the line across which the colour changes most strongly and most consistently.

    Parameters
    ----------
    lab : (rows, columns, 3) float array
        CIELAB of cells.
    free : (rows, columns) bool array
        Cells that no element covers.

    Returns
    -------
    TableEdge or None
        None where no line has enough free cells on both sides. The caller decides whether the line
        is strong enough to be a table edge.
    """
    n_rows, n_columns = free.shape
    lines = _candidates(n_rows, n_columns)
    zero = np.zeros((1, n_columns), dtype=np.float32)
    counts = np.concatenate([zero, np.cumsum(free, axis=0, dtype=np.float32)])
    weighted = np.where(free[..., np.newaxis], lab, 0).astype(np.float32)
    sums = np.concatenate(
        [np.zeros((1, n_columns, 3), dtype=np.float32), np.cumsum(weighted, axis=0)]
    )

    position = (np.arange(n_columns) + 0.5) / n_columns
    rows = np.rint(lines[:, :1] + (lines[:, 1:] - lines[:, :1]) * position).astype(np.intp)
    places = rows * n_columns + np.arange(n_columns)
    band = max(2, round(BAND_FRACTION * n_rows))
    above, valid_above = _band_means(sums, counts, -GAP_CELLS - band, band)
    below, valid_below = _band_means(sums, counts, GAP_CELLS, band)
    valid = (valid_above & valid_below).ravel()[places]
    enough = valid.mean(axis=1) >= MIN_COLUMNS_FRACTION
    if not enough.any():
        return None
    lines, valid, places = lines[enough], valid[enough], places[enough]
    change = (below - above).reshape(-1, 3).take(places, axis=0)
    parts = _parts_difference(sums, counts, places)

    contrast, consistency = _agreement(change, valid)
    width = np.minimum(1, valid.mean(axis=1) / FULL_COLUMNS_FRACTION)
    strength = consistency * width * np.sqrt(contrast * np.minimum(contrast, parts))
    best = int(np.argmax(strength))
    left, right = (float(v) / n_rows for v in lines[best])
    return TableEdge(left, right, float(strength[best]))
