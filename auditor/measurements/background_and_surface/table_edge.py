"""Where the surface ends and the background begins: a nearly level change of ground colour.

Every nearly level line is tried. Along it, column by column, the ground just above is compared
with the ground just below; a table edge changes the colour in the same way over most columns,
while a texture, an element or a fall-off of light does not.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

STEEPEST_DEG = 9.0
"""Slope of the steepest line tried: the camera's roll, or a table seen slightly from its side."""

N_SLOPES = 13
"""Slopes tried, level among them."""

BAND_FRACTION = 0.07
"""Height of the bands above and below, as a fraction of the frame's height."""

GAP_CELLS = 1
"""Rows left out on both sides: an edge behind the plane of focus is blurred."""

MARGIN_FRACTION = 0.03
"""A background or a surface narrower than this, in fractions of the height, is none."""

LEAST_COLUMNS_FRACTION = 0.25
"""Share of the columns that must show ground on both sides of the line."""


FULL_COLUMNS_FRACTION = 0.6
"""Share of the columns from which a line counts in full: elements may stand before the rest."""


@dataclass(frozen=True, slots=True)
class TableEdge:
    """The best line.

    Attributes
    ----------
    left, right : float
        Height of its ends at the left and the right edge of the frame, as fractions.
    strength : float
        CIELAB units: the contrast across the line, held down to the geometric mean with the
        difference of the two parts as a whole (a shadow has an edge, but the ground beyond it is
        the same), times the share of columns that change alike, less where few show ground.
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
    """Rows at the left and the right edge of every line tried, (N, 2)."""
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
    """Mean CIELAB of a band for every row and column, and whether half of it is ground.

    The band of a row begins `first` rows from it, and ends where the frame does.
    """
    rows = np.arange(counts.shape[0])
    top, bottom = (np.clip(rows + start, 0, rows[-1]) for start in (first, first + height))
    n = counts[bottom] - counts[top]
    mean = (sums[bottom] - sums[top]) / np.maximum(n, 1)[..., np.newaxis]
    return mean, n * 2 >= height


def _agreement(
    change: NDArray[np.float32], valid: NDArray[np.bool_]
) -> tuple[NDArray[np.float32], NDArray[np.float64]]:
    """Contrast of each line and the share of its valid columns that change alike.

    The change of a line is the mean over its columns, taken again over those alone that go at
    least half as far in the same direction: an unmasked thing at the line does not count.
    """
    counted = valid
    for _ in range(2):
        n = np.maximum(counted.sum(axis=1), 1)[:, np.newaxis]
        typical = np.einsum("lcv,lc->lv", change, counted.astype(np.float32)) / n
        contrast = np.sqrt((typical**2).sum(axis=1))
        along = np.einsum("lcv,lv->lc", change, typical)
        counted = (along > (contrast**2)[:, np.newaxis] / 2) & valid
    return contrast, counted.sum(axis=1) / valid.sum(axis=1)


def _parts_difference(
    sums: NDArray[np.float32], counts: NDArray[np.float32], places: NDArray[np.intp]
) -> NDArray[np.float32]:
    """CIELAB difference of the mean ground above and below each line.

    `places` (lines, columns) are where the lines run in flattened `counts`.
    """
    n_above = counts.ravel()[places].sum(axis=1)[:, np.newaxis]
    above = sums.reshape(-1, 3).take(places, axis=0).sum(axis=1)
    n_below, below = counts[-1].sum() - n_above, sums[-1].sum(axis=0) - above
    difference = below / np.maximum(n_below, 1) - above / np.maximum(n_above, 1)
    length: NDArray[np.float32] = np.sqrt((difference**2).sum(axis=1))
    return length


def find_table_edge(lab: NDArray[np.floating], ground: NDArray[np.bool_]) -> TableEdge | None:
    """Find the line across which the ground changes most and most alike.

    Parameters
    ----------
    lab : (rows, columns, 3) float array
        CIELAB of cells.
    ground : (rows, columns) bool array
        Cells that no element covers.

    Returns
    -------
    TableEdge or None
        None where no line shows enough ground on both its sides. Whether the line is strong
        enough to be an edge is for the caller to say.
    """
    n_rows, n_columns = ground.shape
    lines = _candidates(n_rows, n_columns)
    zero = np.zeros((1, n_columns), dtype=np.float32)
    counts = np.concatenate([zero, np.cumsum(ground, axis=0, dtype=np.float32)])
    weighted = np.where(ground[..., np.newaxis], lab, 0).astype(np.float32)
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
    enough = valid.mean(axis=1) >= LEAST_COLUMNS_FRACTION
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
