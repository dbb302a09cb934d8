"""How likely something is where it was planned although it was not found as a thing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Box, Point
from auditor.measurements.elements import FULL_CELL

# Probability that something stands at a place, by the share of the frame that is covered around
# it. On 95 photographs of dishes by many hands, with 110 things outside the subject and 806 empty
# places noted by eye: at least a fifth of a circle of a tenth of the diagonal (1.3 % of the frame)
# was covered around 62 % of the things and 12 % of the empty places, a twentieth (0.33 %) around
# 85 % and 21 %, less than a fiftieth (0.13 %) around 10 % and 72 %; things and empty places are
# taken for equally likely.
SHARES = (0.0, 0.0013, 0.0033, 0.013, 0.033)
PRESENT = (0.08, 0.20, 0.60, 0.80, 0.85)


@dataclass(frozen=True, slots=True)
class Presence:
    """What is placed in a part of the frame.

    Attributes
    ----------
    probability : float
        That something stands there, in [0, 1].
    centre : Point or None
        Middle of what covers it; None if nothing does.
    box : Box or None
        Around what covers it.
    """

    probability: float
    centre: Point | None
    box: Box | None


class PlacedMap:
    """The map of what is placed in a picture, from which what is accounted for can be taken.

    Parameters
    ----------
    placed : sequence of str
        `MeasuredPhotograph.placed`.
    width, height : float
        Of the frame; only their ratio matters.
    """

    def __init__(self, placed: Sequence[str], width: float, height: float) -> None:
        self._cover = np.array([[int(digit) for digit in row] for row in placed]) / FULL_CELL
        rows, columns = self._cover.shape
        self._x = (np.arange(columns) + 0.5) / columns
        self._y = (np.arange(rows) + 0.5) / rows
        diagonal = math.hypot(width, height)
        self._scale = width / diagonal, height / diagonal

    @property
    def share(self) -> float:
        """Share of the frame that something other than the subject covers."""
        return float(self._cover.mean())

    def near(self, boxes: Sequence[Box], reach: float) -> NDArray[np.bool_]:
        """Cells no farther than `reach` (a fraction of the diagonal) from one of the boxes."""
        is_near = np.zeros(self._cover.shape, dtype=bool)
        for box in boxes:
            across = np.maximum(np.maximum(box.left - self._x, self._x - box.right), 0)
            down = np.maximum(np.maximum(box.top - self._y, self._y - box.bottom), 0)
            away = np.hypot(
                across[np.newaxis, :] * self._scale[0], down[:, np.newaxis] * self._scale[1]
            )
            is_near |= away <= reach
        return is_near

    def within(self, cells: NDArray[np.bool_]) -> Presence:
        """What is placed in some cells."""
        covered = np.where(cells, self._cover, 0.0)
        total = float(covered.sum())
        probability = float(np.interp(total / covered.size, SHARES, PRESENT))
        if total <= 0:
            return Presence(probability, None, None)
        x, y = covered.sum(axis=0) @ self._x, covered.sum(axis=1) @ self._y
        rows, columns = np.flatnonzero(covered.any(axis=1)), np.flatnonzero(covered.any(axis=0))
        n_rows, n_columns = covered.shape
        box = Box(
            float(columns[0]) / n_columns,
            float(rows[0]) / n_rows,
            float(columns[-1] + 1) / n_columns,
            float(rows[-1] + 1) / n_rows,
        )
        return Presence(probability, Point(float(x / total), float(y / total)), box)

    def share_in(self, cells: NDArray[np.bool_], box: Box) -> float:
        """Share of some cells that lie in a box; 0 if there are no cells."""
        down = (self._y >= box.top) & (self._y <= box.bottom)
        across = (self._x >= box.left) & (self._x <= box.right)
        inside = down[:, np.newaxis] & across[np.newaxis, :]
        return float((cells & inside).sum()) / max(1, int(cells.sum()))

    def take_cells(self, cells: NDArray[np.bool_]) -> None:
        """Take out what is placed in some cells."""
        self._cover[cells] = 0

    def take_box(self, box: Box) -> None:
        """Take out what is placed in a box."""
        down = (self._y >= box.top) & (self._y <= box.bottom)
        across = (self._x >= box.left) & (self._x <= box.right)
        self._cover[np.ix_(down, across)] = 0
