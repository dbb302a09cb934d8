"""A coarse map of where in the frame each illuminant of a mixed picture falls."""

from __future__ import annotations

import numpy as np

from auditor.colorimetry import cell_means, grid_shape
from auditor.colour_signature.neutral_plane import Cells
from auditor.measurements.colour_temperature.light_border import LightBorder

LONGEST_SIDE_CELLS = 24
"""Cells of the map along the longest side: a plate covers several cells, and the map stays
small."""

MIN_FREE_SHARE = 0.5
"""Share of a cell of the map that must be usable and free of things; common practice, no source."""

NO_LIGHT = "."
"""Marks a cell of the map that is covered, clipped or too dark."""


def light_map(cells: Cells, border: LightBorder, *, warm_first: bool) -> tuple[str, ...]:
    """Map the illuminants over the frame.

    Parameters
    ----------
    cells : Cells
        Of the picture.
    border : LightBorder
    warm_first : bool
        True if the warmer light is cluster 0.

    Returns
    -------
    tuple of str
        Rows from the top. Each character is the index of the cluster to which most of that cell
        belongs, or `NO_LIGHT`.
    """
    free = (cells.usable & ~cells.occupied).astype(np.float64)
    rows, columns = grid_shape(free.shape[0], free.shape[1], LONGEST_SIDE_CELLS)
    is_warm = cell_means(border.warm_share, rows, columns) > 0.5
    numbers = np.where(is_warm == warm_first, "0", "1")
    shown = np.where(cell_means(free, rows, columns) >= MIN_FREE_SHARE, numbers, NO_LIGHT)
    return tuple("".join(row) for row in shown.tolist())
