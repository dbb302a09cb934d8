"""A coarse map of where something is placed in the frame beside the subject.

Elements are whole things with an outline. A spoon, a folded cloth or the edge of a second plate may
leave no such region, but the finder has seen that something is there; a place of the plan is looked
up here.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import cell_means, grid_shape

LONGEST_SIDE_CELLS = 32
"""Cells along the longest side: a spoon is one or two cells wide."""

THING_PROBABILITY = 0.5
"""Of the finder's map, above which a pixel counts: more likely placed than not."""

FULL = 9
"""Digit of a cell that is covered completely."""


def placed_map(
    elements_map: NDArray[np.float32], subject_mask: NDArray[np.bool_]
) -> tuple[str, ...]:
    """Map the share of each cell that something other than the subject covers.

    Parameters
    ----------
    elements_map : (h, w) float32 array
        In [0, 1], the finder's map of placed things, covering the frame.
    subject_mask : (h, w) bool array

    Returns
    -------
    tuple of str
        Rows from the top, a digit for each cell from 0 (empty) to `FULL`.
    """
    placed = (elements_map > THING_PROBABILITY) & ~subject_mask
    rows, columns = grid_shape(placed.shape[0], placed.shape[1], LONGEST_SIDE_CELLS)
    shares = cell_means(placed.astype(np.float64), rows, columns)
    digits = np.rint(np.clip(shares, 0, 1) * FULL).astype(int)
    return tuple("".join(map(str, row)) for row in digits.tolist())
