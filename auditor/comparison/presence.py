"""How likely something stands at a planned place, by the map of what is placed in the frame."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Box, Point
from auditor.measurements.elements import FULL_CELL

RADIUS_FRACTION = 0.1  # of the diagonal: the surroundings of a position
# Probability that something stands at a place, by the share that is covered within a tenth of the
# diagonal around it. On 95 photographs of dishes by many hands, with 110 things outside the subject
# and 806 empty places noted by eye: at least 0.2 was covered around 62 % of the things and 12 % of
# the empty places, 0.05 around 85 % and 21 %, less than 0.02 around 10 % and 72 %; things and empty
# places are taken for equally likely.
SHARES = (0.0, 0.02, 0.05, 0.20, 0.50)
PRESENT = (0.08, 0.20, 0.60, 0.80, 0.85)


@dataclass(frozen=True, slots=True)
class Presence:
    """What is placed around a position.

    Attributes
    ----------
    probability : float
        That something stands there, in [0, 1].
    centre : Point or None
        Middle of what covers the surroundings; None if nothing does.
    """

    probability: float
    centre: Point | None


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

    def around(self, at: Point) -> Presence:
        """What is placed around a position."""
        is_near = self._is_near(at)
        near = np.where(is_near, self._cover, 0.0)
        total = float(near.sum())
        share = total / max(1, int(np.count_nonzero(is_near)))
        centre = None
        if total > 0:
            x, y = near.sum(axis=0) @ self._x, near.sum(axis=1) @ self._y
            centre = Point(float(x / total), float(y / total))
        return Presence(float(np.interp(share, SHARES, PRESENT)), centre)

    def take_around(self, at: Point) -> None:
        """Take out what is placed around a position."""
        self._cover[self._is_near(at)] = 0

    def take_box(self, box: Box) -> None:
        """Take out what is placed in a box."""
        down = (self._y >= box.top) & (self._y <= box.bottom)
        across = (self._x >= box.left) & (self._x <= box.right)
        self._cover[np.ix_(down, across)] = 0

    def _is_near(self, at: Point) -> NDArray[np.bool_]:
        across = (self._x - at.x) * self._scale[0]
        down = (self._y - at.y) * self._scale[1]
        away = np.hypot(across[np.newaxis, :], down[:, np.newaxis])
        return np.asarray(away <= RADIUS_FRACTION)
