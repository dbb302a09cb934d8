"""Quadrilaterals of four long lines, and those among them that are frames.

Two nearly level and two nearly upright segments make a quadrilateral if they meet at four corners
and its sides are drawn. Many such exist in a frame with the lines of a grid: its cells, and what
two neighbouring frames make together. A frame is the largest that is not made of others.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.sketch.long_lines import Segment

Floats = NDArray[np.float64]

# Lengths are shares of the long side of the page unless said otherwise.
LEAST_SIDE = 0.07  # of a frame; six frames on a page have about 0.25
CORNER_REACH = 0.05  # how far a side may stop short of its corner
CORNER_REACH_OF_SIDE = 0.20  # the same as a share of the segment, whichever is larger
LEAST_SIDE_DRAWN = 0.70  # share of each side that is drawn
LEAST_DRAWN = 0.84  # of all four together
LONGEST_GAP_OF_SIDE = 0.16  # within a side
SMALLEST_ANGLE_COSINE = 0.45  # of a corner: 63 to 117 degrees, for a page seen askew
LEAST_SIDE_RATIO = 0.55  # of opposite sides, the shorter over the longer
FLATTEST = 6.0  # the longest panorama that anybody frames, by its sides
# Of the longest lines; six frames with grids and doubled strokes have some thousands.
MOST_CANDIDATES = 20_000
# How far a side may stray from the straight line between its corners: it bows, and corners are
# rounded. 4 % of the side of a frame that fills half of the page.
STRAY = 0.016
N_SAMPLES = 64  # along a side
CLEAR_RIDGE = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Quadrilateral:
    """Four corners with the evidence that their sides are drawn.

    Attributes
    ----------
    corners : (4, 2) float array
        x and y in px of the reduced page: upper left, upper right, lower right, lower left.
    drawn : float
        Share of its outline that is drawn, in [0, 1].
    gaps : tuple of tuple of tuple of float
        For the upper, right, lower and left side the runs that are not drawn, each from and to
        as shares of the side, clockwise.
    """

    corners: Floats
    drawn: float

    gaps: tuple[tuple[tuple[float, float], ...], ...]

    @property
    def area(self) -> float:
        """In square px."""
        x, y = self.corners.T
        return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2)

    @property
    def evidence(self) -> float:
        """Area, less where its outline is not all drawn: the larger, the more of a frame."""
        return self.area * self.drawn**2


def find_quadrilaterals(
    level: list[Segment],
    upright: list[Segment],
    level_ridge: NDArray[np.float32],
    upright_ridge: NDArray[np.float32],
) -> list[Quadrilateral]:
    """All quadrilaterals whose sides are drawn, best first.

    Parameters
    ----------
    level, upright : list of Segment
        Upright ones with x and y exchanged.
    level_ridge, upright_ridge : (h, w) float arrays
        Ridges widened by the waver of a hand's line.
    """
    side = max(level_ridge.shape)
    if len(level) < 2 or len(upright) < 2:
        return []
    corners = _candidates(
        _Lines.along(level, level_ridge), _Lines.along(upright, upright_ridge.T), side
    )
    corners = corners[_is_well_shaped(corners, side)]
    drawn = np.stack(
        [
            _drawn(level_ridge, corners[:, 0], corners[:, 1]),
            _drawn(upright_ridge, corners[:, 1], corners[:, 2]),
            _drawn(level_ridge, corners[:, 2], corners[:, 3]),
            _drawn(upright_ridge, corners[:, 3], corners[:, 0]),
        ],
        axis=1,
    )
    shares = drawn.mean(axis=2)
    good = (
        (shares.min(axis=1) >= LEAST_SIDE_DRAWN)
        & (shares.mean(axis=1) >= LEAST_DRAWN)
        & (_longest_gap(drawn) <= LONGEST_GAP_OF_SIDE).all(axis=1)
    )
    found = [
        Quadrilateral(points, float(sides.mean()), tuple(_gaps(side) for side in sides))
        for points, sides in zip(corners[good], drawn[good], strict=True)
    ]
    return sorted(found, key=lambda quad: -quad.evidence)


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Segments as arrays, with how much of each is drawn up to each px.

    Attributes
    ----------
    intercept, slope, start, end : (n,) float arrays
    drawn : (n, w + 1) int array
        Number of px at which the line is drawn, from x = 0 on.
    """

    intercept: Floats
    slope: Floats
    start: Floats
    end: Floats
    drawn: NDArray[np.int32]

    @classmethod
    def along(cls, segments: list[Segment], ridge: NDArray[np.float32]) -> _Lines:
        """Follow segments over the widened ridges."""
        table = np.array([[s.intercept, s.slope, s.start, s.end] for s in segments])
        intercept, slope, start, end = table.T
        x = np.arange(ridge.shape[1])
        y = intercept[:, None] + slope[:, None] * x
        rows = np.clip(y.astype(np.intp), 0, ridge.shape[0] - 1)
        is_drawn = ridge[rows, x] >= CLEAR_RIDGE
        counts = np.zeros((len(segments), x.size + 1), dtype=np.int32)
        is_drawn.cumsum(axis=1, out=counts[:, 1:])
        return cls(intercept, slope, start, end, counts)

    def reach(self, side: int) -> Floats:
        """How far each may stop short of a corner."""
        return np.maximum(CORNER_REACH * side, CORNER_REACH_OF_SIDE * (self.end - self.start))

    def beyond(self, place: Floats) -> Floats:
        """How far places (n, m) lie outside of each."""
        return np.maximum(np.maximum(self.start[:, None] - place, place - self.end[:, None]), 0)

    def sides(self, place: Floats, meets: NDArray[np.bool_], side: int) -> NDArray[np.bool_]:
        """(n, m, m): whether a line is drawn from its corner with one to that with another.

        Parameters
        ----------
        place : (n, m) float array
            Where each meets each line of the other kind.
        meets : (n, m) bool array
            Whether it does.
        side : int
            Long side of the page, in px.
        """
        at = np.clip(place.astype(np.intp), 0, self.drawn.shape[1] - 1)
        counts = np.take_along_axis(self.drawn, at, axis=1).astype(np.float32)
        lengths = (place[:, None, :] - place[:, :, None]).astype(np.float32)
        drawn = counts[:, None, :] - counts[:, :, None]
        good = (lengths >= LEAST_SIDE * side) & (drawn >= LEAST_SIDE_DRAWN * lengths)
        return np.asarray(good & meets[:, None, :] & meets[:, :, None])


def _candidates(level: _Lines, upright: _Lines, side: int) -> Floats:
    """Corners of all quadrilaterals with drawn sides: (n, 4, 2)."""
    slopes = level.slope[:, None] * upright.slope[None, :]
    y = (level.intercept[:, None] + level.slope[:, None] * upright.intercept) / (1 - slopes)
    x = upright.intercept[None, :] + upright.slope[None, :] * y
    meets = (level.beyond(x) <= level.reach(side)[:, None]) & (
        upright.beyond(y.T).T <= upright.reach(side)[None, :]
    )
    across = level.sides(x, meets, side)
    down = upright.sides(np.ascontiguousarray(y.T), np.ascontiguousarray(meets.T), side)
    found: list[Floats] = []
    n_found = 0
    for top, bottom in zip(*down.any(axis=0).nonzero(), strict=True):
        columns = np.flatnonzero(down[:, top, bottom])
        pairs = (across[top] & across[bottom])[np.ix_(columns, columns)]
        left, right = (columns[index] for index in pairs.nonzero())
        if left.size:
            ring = ((top, left), (top, right), (bottom, right), (bottom, left))
            found.append(np.stack([np.stack([x[c], y[c]], axis=-1) for c in ring], axis=1))
            n_found += left.size
        if n_found > MOST_CANDIDATES:
            break
    return np.concatenate(found) if found else np.empty((0, 4, 2))


def _is_well_shaped(corners: Floats, side: int) -> NDArray[np.bool_]:
    sides = np.roll(corners, -1, axis=1) - corners
    lengths = np.maximum(np.hypot(sides[..., 0], sides[..., 1]), 1e-9)
    along = sides / lengths[..., None]
    cosines = np.abs((along * np.roll(along, -1, axis=1)).sum(axis=2))
    width, height = (lengths[:, 0] + lengths[:, 2]) / 2, (lengths[:, 1] + lengths[:, 3]) / 2
    opposite = np.minimum(lengths[:, :2], lengths[:, 2:]) / np.maximum(
        lengths[:, :2], lengths[:, 2:]
    )
    return np.asarray(
        (cosines <= SMALLEST_ANGLE_COSINE).all(axis=1)
        & (opposite >= LEAST_SIDE_RATIO).all(axis=1)
        & (np.minimum(width, height) >= LEAST_SIDE * side)
        & (np.maximum(width, height) <= FLATTEST * np.minimum(width, height))
    )


def _drawn(ridge: NDArray[np.float32], start: Floats, end: Floats) -> NDArray[np.bool_]:
    """Where the straight lines between points are drawn: (n, N_SAMPLES)."""
    share = (np.arange(N_SAMPLES) + 0.5) / N_SAMPLES
    places = start[:, None] + (end - start)[:, None] * share[None, :, None]
    columns = np.clip(places[..., 0].astype(np.intp), 0, ridge.shape[1] - 1)
    rows = np.clip(places[..., 1].astype(np.intp), 0, ridge.shape[0] - 1)
    return np.asarray(ridge[rows, columns] >= CLEAR_RIDGE)


def _longest_gap(drawn: NDArray[np.bool_]) -> Floats:
    """Longest run of missing samples, as a share of the side: (n, 4)."""
    longest = np.zeros(drawn.shape[:2])
    run = np.zeros(drawn.shape[:2])
    for sample in range(drawn.shape[2]):
        run = np.where(drawn[..., sample], 0, run + 1)
        longest = np.maximum(longest, run)
    return longest / drawn.shape[2]


def _gaps(drawn: NDArray[np.bool_]) -> tuple[tuple[float, float], ...]:
    """Runs that are not drawn."""
    steps = np.diff(np.concatenate([[True], drawn, [True]]).astype(np.int8))
    starts, ends = np.flatnonzero(steps < 0), np.flatnonzero(steps > 0)
    return tuple(
        (float(start) / drawn.size, float(end) / drawn.size)
        for start, end in zip(starts, ends, strict=True)
    )
