"""Quadrilaterals of four long lines, and those among them that are frames.

Two nearly level and two nearly upright segments make a quadrilateral if they meet at four corners
and its sides are drawn. Many such exist in a frame with the lines of a grid: its cells, and what
two neighbouring frames make together. A frame is the largest that is not made of others.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.sketch.courses import Courses

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
N_CROSSING_STEPS = 4  # lines that bow meet after a few
MOST_KEPT = 4000
SAME_CORNER = 0.008  # share of the long side of the page within which corners are one


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


def find_quadrilaterals(level: Courses, upright: Courses, side: int) -> list[Quadrilateral]:
    """All quadrilaterals whose sides are drawn, best first.

    Parameters
    ----------
    level, upright : Courses
        Upright ones with x and y exchanged.
    side : int
        Long side of the page, in px.
    """
    x, y = _crossings(level, upright)
    rings = _candidates(level, upright, x, y, side)
    if not len(rings):
        return []
    rows, columns = rings[:, [0, 0, 2, 2]], rings[:, [3, 1, 1, 3]]
    corners = np.stack([x[rows, columns], y[rows, columns]], axis=-1)
    shares = np.stack(
        [
            _share(level, rings[:, 0], corners[:, 0, 0], corners[:, 1, 0]),
            _share(upright, rings[:, 1], corners[:, 1, 1], corners[:, 2, 1]),
            _share(level, rings[:, 2], corners[:, 3, 0], corners[:, 2, 0]),
            _share(upright, rings[:, 3], corners[:, 0, 1], corners[:, 3, 1]),
        ],
        axis=1,
    )
    good = _is_well_shaped(corners, side) & (shares.mean(axis=1) >= LEAST_DRAWN)
    found = _distinct(corners[good], shares[good].mean(axis=1), rings[good], side)
    quads = [
        Quadrilateral(points, drawn, _gaps_of(level, upright, ring, points))
        for points, drawn, ring in found
    ]
    return [quad for quad in quads if _longest(quad.gaps) <= LONGEST_GAP_OF_SIDE]


def _crossings(level: Courses, upright: Courses) -> tuple[Floats, Floats]:
    """Where each level line meets each upright one: x and y, (n, m)."""
    rows, columns = np.arange(len(level.y))[:, None], np.arange(len(upright.y))[None, :]
    x = np.broadcast_to(upright.y.mean(axis=1), (rows.size, columns.size))
    y = np.zeros_like(x)
    for _ in range(N_CROSSING_STEPS):
        y = level.y[rows, np.clip(np.rint(x), 0, level.y.shape[1] - 1).astype(np.intp)]
        x = upright.y[columns, np.clip(np.rint(y), 0, upright.y.shape[1] - 1).astype(np.intp)]
    return x.astype(np.float64), y.astype(np.float64)


def _candidates(
    level: Courses, upright: Courses, x: Floats, y: Floats, side: int
) -> NDArray[np.intp]:
    """Quadrilaterals with drawn sides: the upper, right, lower and left line of each, (n, 4)."""
    meets = (_beyond(level, x) <= _reach(level, side)[:, None]) & (
        _beyond(upright, y.T) <= _reach(upright, side)[:, None]
    ).T
    across = _sides(level, x, meets, side)
    down = _sides(upright, np.ascontiguousarray(y.T), np.ascontiguousarray(meets.T), side)
    found: list[NDArray[np.intp]] = []
    n_found = 0
    has_pair: NDArray[np.bool_] = np.any(down, axis=0)
    for top, bottom in zip(*has_pair.nonzero(), strict=True):
        columns = np.flatnonzero(down[:, top, bottom])
        pairs = (across[top] & across[bottom])[np.ix_(columns, columns)]
        left, right = (columns[index] for index in pairs.nonzero())
        if left.size:
            whole = np.full(left.size, top), right, np.full(left.size, bottom), left
            found.append(np.stack(whole, axis=1))
            n_found += left.size
        if n_found > MOST_CANDIDATES:
            break
    return np.concatenate(found) if found else np.empty((0, 4), dtype=np.intp)


def _reach(lines: Courses, side: int) -> Floats:
    """How far each may stop short of a corner."""
    return np.maximum(CORNER_REACH * side, CORNER_REACH_OF_SIDE * (lines.end - lines.start))


def _beyond(lines: Courses, place: Floats) -> Floats:
    """How far places (n, m) lie outside of each."""
    return np.maximum(np.maximum(lines.start[:, None] - place, place - lines.end[:, None]), 0)


def _sides(lines: Courses, place: Floats, meets: NDArray[np.bool_], side: int) -> NDArray[np.bool_]:
    """(n, m, m): whether a line is drawn from its corner with one to that with another.

    Parameters
    ----------
    lines : Courses
    place : (n, m) float array
        Where each meets each line of the other kind.
    meets : (n, m) bool array
        Whether it does.
    side : int
        Long side of the page, in px.
    """
    at = np.clip(place.astype(np.intp), 0, lines.counts.shape[1] - 1)
    counts = np.take_along_axis(lines.counts, at, axis=1).astype(np.float32)
    lengths = (place[:, None, :] - place[:, :, None]).astype(np.float32)
    drawn = counts[:, None, :] - counts[:, :, None]
    good = (lengths >= LEAST_SIDE * side) & (drawn >= LEAST_SIDE_DRAWN * lengths)
    return np.asarray(good & meets[:, None, :] & meets[:, :, None])


def _share(lines: Courses, index: NDArray[np.intp], start: Floats, end: Floats) -> Floats:
    """Share of a line that is drawn between two places."""
    last = lines.counts.shape[1] - 1
    first, second = (np.clip(v.astype(np.intp), 0, last) for v in (start, end))
    drawn = lines.counts[index, second] - lines.counts[index, first]
    return np.asarray(np.minimum(drawn / np.maximum(second - first, 1), 1.0))


def _distinct(
    corners: Floats, drawn: Floats, rings: NDArray[np.intp], side: int
) -> list[tuple[Floats, float, NDArray[np.intp]]]:
    """Of quadrilaterals with nearly the same corners, the one with the best evidence."""
    x, y = corners[..., 0], corners[..., 1]
    area = np.abs((x * np.roll(y, -1, axis=1) - y * np.roll(x, -1, axis=1)).sum(axis=1)) / 2
    order = np.argsort(-area * drawn**2)[:MOST_KEPT]
    places = np.rint(corners[order] / (SAME_CORNER * side)).astype(np.int16)
    _, first = np.unique(places.reshape(len(order), 8), axis=0, return_index=True)
    kept = order[np.sort(first)]
    return [(corners[i], float(drawn[i]), rings[i]) for i in kept]


def _gaps_of(
    level: Courses, upright: Courses, ring: NDArray[np.intp], corners: Floats
) -> tuple[tuple[tuple[float, float], ...], ...]:
    spans = (
        (level, ring[0], corners[0, 0], corners[1, 0]),
        (upright, ring[1], corners[1, 1], corners[2, 1]),
        (level, ring[2], corners[3, 0], corners[2, 0]),
        (upright, ring[3], corners[0, 1], corners[3, 1]),
    )
    gaps = []
    for index, (lines, line, start, end) in enumerate(spans):
        drawn = lines.is_drawn[line, max(0, int(start)) : max(0, int(end)) + 1]
        gaps.append(_gaps(drawn if index < 2 else drawn[::-1]))
    return tuple(gaps)


def _longest(gaps: tuple[tuple[tuple[float, float], ...], ...]) -> float:
    return max((end - start for side in gaps for start, end in side), default=0.0)


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


def _gaps(drawn: NDArray[np.bool_]) -> tuple[tuple[float, float], ...]:
    """Runs that are not drawn."""
    steps = np.diff(np.concatenate([[True], drawn, [True]]).astype(np.int8))
    starts, ends = np.flatnonzero(steps < 0), np.flatnonzero(steps > 0)
    return tuple(
        (float(start) / drawn.size, float(end) / drawn.size)
        for start, end in zip(starts, ends, strict=True)
    )
