"""Corners of a frame drawn by hand, from sides that waver and bow."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.sketch.long_lines import WAVER
from auditor.sketch.ridges import Ridges

Array = NDArray[np.float32]
Floats = NDArray[np.float64]

N_PLACES = 120  # along a side
# The last part of a side belongs to the corner, where lines overshoot and round off.
LEFT_OUT_AT_ENDS = 0.02
BAND_SHARE = 1.5  # half the width that is searched, in wavers
CLEAR_RIDGE = 0.5
LEAST_PLACES = 12  # below, the side stays as it was found
# A parabola may follow a side that bows; residuals are weighed with this scale in px (iterated
# reweighting with Cauchy's weights, as in Huber, Robust Statistics, 1981), so that the second
# stroke of a doubled side or a line that touches it counts less.
RESIDUAL_SCALE_PX = 1.5
N_ITERATIONS = 8
# A bow above this share of the side is not the side's.
LARGEST_BOW = 0.03


@dataclass(frozen=True, slots=True, eq=False)
class _Side:
    """A parabola across a straight line: `across` px beside it at `along` from its start."""

    start: Floats
    along: Floats
    length: float
    coefficients: Floats  # of 1, t, t^2 with t from 0 at the start to 1 at the end

    def at(self, t: float) -> Floats:
        normal = np.array([-self.along[1], self.along[0]])
        off = float(self.coefficients @ [1.0, t, t * t])
        return np.asarray(self.start + self.along * (t * self.length) + normal * off)

    def where(self, point: Floats) -> float:
        """Parameter of the foot of a point."""
        return float((point - self.start) @ self.along) / self.length


def refined_corners(corners: Floats, ridges: Ridges) -> Floats:
    """Corners where the fitted sides meet.

    Parameters
    ----------
    corners : (4, 2) float array
        x and y in px, upper left first, clockwise.
    ridges : Ridges
        Of the same page.
    """
    sides = [
        _fitted(corners[i], corners[(i + 1) % 4], ridges.level if i % 2 == 0 else ridges.upright)
        for i in range(4)
    ]
    return np.array([_meeting(sides[i - 1], sides[i], corners[i]) for i in range(4)])


def _fitted(start: Floats, end: Floats, ridge: Array) -> _Side:
    length = float(np.hypot(*(end - start)))
    along = (end - start) / length
    normal = np.array([-along[1], along[0]])
    t = np.linspace(LEFT_OUT_AT_ENDS, 1 - LEFT_OUT_AT_ENDS, N_PLACES)
    reach = BAND_SHARE * WAVER * max(ridge.shape)
    offsets = np.arange(-reach, reach + 0.5)
    places = (start + along * (t * length)[:, None])[:, None] + normal * offsets[:, None]
    columns = np.clip(places[..., 0].astype(np.intp), 0, ridge.shape[1] - 1)
    rows = np.clip(places[..., 1].astype(np.intp), 0, ridge.shape[0] - 1)
    heights = ridge[rows, columns]
    clear = heights >= CLEAR_RIDGE
    place, across = clear.nonzero()
    if np.unique(place).size < LEAST_PLACES:
        return _Side(start, along, length, np.zeros(3))
    return _Side(start, along, length, _parabola(t[place], offsets[across], length))


def _parabola(t: Floats, across: Floats, length: float) -> Floats:
    design = np.stack([np.ones_like(t), t, t * t], axis=1)
    weights = 1 / (1 + np.abs(across))
    coefficients = np.zeros(3)
    # A slight preference for straightness: as many rows as a tenth of the points.
    straight = np.array([[0.0, 0.0, np.sqrt(0.1 * t.size)]])
    for _ in range(N_ITERATIONS):
        root = np.sqrt(weights)
        coefficients = np.linalg.lstsq(
            np.concatenate([design * root[:, None], straight]),
            np.append(across * root, 0.0),
            rcond=None,
        )[0]
        off = across - design @ coefficients
        weights = 1 / (1 + (off / RESIDUAL_SCALE_PX) ** 2)
    if abs(coefficients[2]) / 4 > LARGEST_BOW * length:
        return np.zeros(3)
    return coefficients


def _meeting(before: _Side, after: _Side, corner: Floats) -> Floats:
    """Where one side ends and the next begins."""
    point = corner
    for _ in range(10):
        first, second = before.where(point), after.where(point)
        a, b = before.at(first), after.at(second)
        da = before.at(first + 0.01) - a
        db = after.at(second + 0.01) - b
        cross = float(da[0] * db[1] - da[1] * db[0])
        if abs(cross) < 1e-9:
            return corner
        gap = b - a
        share = float(gap[0] * db[1] - gap[1] * db[0]) / cross
        point = a + da * share
    # The fit left its side: keep what the straight lines gave.
    if float(np.hypot(*(point - corner))) > 0.1 * before.length:
        return corner
    return np.asarray(point)
