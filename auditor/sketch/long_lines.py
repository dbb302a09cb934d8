"""Long lines drawn by hand, as straight segments.

Pixels of ridges vote for the lines through them (Hough 1962, in the polar form of Duda and Hart,
Communications of the ACM 15, 1972). The strongest line is followed within a band as wide as a hand
wavers, cut at long gaps, fitted, and its pixels withdraw their votes, until no line is long enough.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Floats = NDArray[np.float64]

# All lengths are shares of the long side of the page.
LEAST_LENGTH = 0.06  # of a segment; the sides of the smallest of six frames have about 0.12
WAVER = 0.010  # half the width of the band within which a hand's line stays, over one side
LONGEST_GAP = 0.012  # within a segment
LEAST_COVERAGE = 0.6  # share of a segment's length that is drawn
# A line that supports itself with less than this share of the length that it should have, and the
# number of lines after which nothing but scribble is left.
MOST_LINES = 80
MOST_ROUNDS = 220
# Directions, in degrees from level: a page photographed askew, in perspective.
STEEPEST_DEG, DIRECTION_STEP_DEG = 32.0, 0.75
DISTANCE_STEP_PX = 2.0
CLEAR_RIDGE = 0.5  # a pixel that votes has at least this height
# Merging: segments of one line that a gap of at most this share of both separates.
MERGE_GAP = 0.25
MERGE_ANGLE_DEG = 3.0
MERGE_APART = 0.012  # across, share of the long side of the page
N_MERGES = 2  # rounds: up to four pieces of a side
# Segments whose ends and course differ by less are one line, drawn twice.
SAME_ENDS, SAME_LINE = 0.02, 0.005


@dataclass(frozen=True, slots=True)
class Segment:
    """A nearly level line y = intercept + slope x from x = start to end, in px.

    Upright lines are described in the same way with x and y exchanged.
    """

    intercept: float
    slope: float
    start: float
    end: float

    @property
    def length(self) -> float:
        """Along x."""
        return self.end - self.start

    def at(self, x: float) -> float:
        """Value of y on the line."""
        return self.intercept + self.slope * x


def find_level_lines(ridge: NDArray[np.float32]) -> list[Segment]:
    """Find long lines that are nearly level, longest evidence first.

    Parameters
    ----------
    ridge : (h, w) float array
        In [0, 1]; pass its transpose for upright lines.
    """
    side = max(ridge.shape)
    y, x = _thinned(ridge)
    if x.size == 0:
        return []
    votes = _Votes(x, y, ridge.shape)
    found: list[Segment] = []
    alive = np.ones(x.size, dtype=bool)
    for _ in range(MOST_ROUNDS):
        peak = votes.strongest()
        if peak is None or peak.votes < LEAST_COVERAGE * LEAST_LENGTH * side:
            break
        near = alive & (np.abs(y - peak.at(x)) <= WAVER * side)
        runs = _runs(x, y, np.flatnonzero(near), side)
        used = np.zeros(x.size, dtype=bool)
        for segment, members in runs:
            found.append(segment)
            used[members] = True
        if not runs:
            used = near
        votes.withdraw(x[used], y[used])
        votes.forget(peak)
        alive &= ~used
        if len(found) >= MOST_LINES:
            break
    return _with_merged(found, side)


def _thinned(ridge: NDArray[np.float32]) -> tuple[Floats, Floats]:
    """Pixels on the crest of a ridge."""
    crest = ridge >= np.maximum(ndimage.maximum_filter1d(ridge, 3, axis=0), CLEAR_RIDGE)
    # Where the height is clipped the crest is a plateau; its middle row stands for it.
    labels = ndimage.binary_erosion(crest, np.ones((3, 1), dtype=bool))
    crest &= ~(ndimage.binary_dilation(labels, np.ones((3, 1), dtype=bool)) & ~labels)
    rows, columns = crest.nonzero()
    return rows.astype(np.float64), columns.astype(np.float64)


@dataclass(frozen=True, slots=True)
class _Peak:
    index: tuple[int, int]
    votes: float
    slope: float
    intercept: float

    def at(self, x: Floats) -> Floats:
        return np.asarray(self.intercept + self.slope * x)


class _Votes:
    """The accumulator: slope against the height at the middle of the page."""

    def __init__(self, x: Floats, y: Floats, shape: tuple[int, ...]) -> None:
        angles = np.arange(-STEEPEST_DEG, STEEPEST_DEG + 1e-9, DIRECTION_STEP_DEG)
        self.slopes = np.tan(np.radians(angles))
        self.middle = shape[1] / 2
        self.reach = shape[1] / 2 * float(np.abs(self.slopes).max())
        n_bins = int((shape[0] + 2 * self.reach) / DISTANCE_STEP_PX) + 2
        self.counts = np.zeros((self.slopes.size, n_bins), dtype=np.float32)
        self._add(x, y, 1.0)

    def _add(self, x: Floats, y: Floats, weight: float) -> None:
        n_bins = self.counts.shape[1]
        for row, slope in enumerate(self.slopes):
            height = y - slope * (x - self.middle) + self.reach
            bins = (height / DISTANCE_STEP_PX).astype(np.intp)
            self.counts[row] += weight * np.bincount(bins, minlength=n_bins)[:n_bins]

    def withdraw(self, x: Floats, y: Floats) -> None:
        self._add(x, y, -1.0)

    def strongest(self) -> _Peak | None:
        # A wavering line spreads over neighbouring distances.
        pooled = ndimage.uniform_filter1d(self.counts, 3, axis=1, mode="constant") * 3
        row, column = np.unravel_index(int(pooled.argmax()), pooled.shape)
        best = float(pooled[row, column])
        if best <= 0:
            return None
        slope = float(self.slopes[row])
        height = (float(column) + 0.5) * DISTANCE_STEP_PX - self.reach
        return _Peak((int(row), int(column)), best, slope, height - slope * self.middle)

    def forget(self, peak: _Peak) -> None:
        """Lower a peak whose pixels were all looked at."""
        row, column = peak.index
        self.counts[row, max(0, column - 1) : column + 2] -= peak.votes


def _runs(
    x: Floats, y: Floats, near: NDArray[np.intp], side: int
) -> list[tuple[Segment, NDArray[np.intp]]]:
    """Pieces of a line between long gaps, each fitted, with the indices of its pixels."""
    order = near[np.argsort(x[near])]
    if order.size == 0:
        return []
    cuts = np.flatnonzero(np.diff(x[order]) > LONGEST_GAP * side) + 1
    pieces = []
    for members in np.split(order, cuts):
        start, end = float(x[members[0]]), float(x[members[-1]])
        if end - start < LEAST_LENGTH * side:
            continue
        n_covered = np.unique(x[members]).size
        if n_covered < LEAST_COVERAGE * (end - start):
            continue
        intercept, slope = _fit(x[members], y[members])
        within = np.abs(y[members] - intercept - slope * x[members]) <= WAVER * side
        pieces.append((Segment(intercept, slope, start, end), members[within]))
    return pieces


def _fit(x: Floats, y: Floats) -> tuple[float, float]:
    """Straight line by least absolute residuals, through iterated weights."""
    weights = np.ones_like(x)
    intercept = slope = 0.0
    for _ in range(4):
        total = weights.sum()
        mean_x, mean_y = float(weights @ x / total), float(weights @ y / total)
        spread = float(weights @ (x - mean_x) ** 2)
        slope = float(weights @ ((x - mean_x) * (y - mean_y))) / spread if spread > 0 else 0.0
        intercept = mean_y - slope * mean_x
        weights = 1 / np.maximum(np.abs(y - intercept - slope * x), 1.0)
    return intercept, slope


def _with_merged(segments: list[Segment], side: int) -> list[Segment]:
    """Add the pieces of one side that a gap or a crossing shadow cuts, joined."""
    joined = _distinct(segments, side)
    for _ in range(N_MERGES):
        wholes = (_joined(first, second, side) for first in joined for second in joined)
        joined = _distinct([*joined, *(whole for whole in wholes if whole is not None)], side)
    return joined


def _distinct(segments: list[Segment], side: int) -> list[Segment]:
    """Of segments with the same ends, the longest."""
    kept: list[Segment] = []
    for segment in sorted(segments, key=lambda s: -s.length):
        if not any(_is_same(segment, other, side) for other in kept):
            kept.append(segment)
        if len(kept) >= MOST_LINES:
            break
    return kept


def _is_same(first: Segment, second: Segment, side: int) -> bool:
    ends = max(abs(first.start - second.start), abs(first.end - second.end))
    apart = max(abs(first.at(x) - second.at(x)) for x in (first.start, first.end))
    return ends <= SAME_ENDS * side and apart <= SAME_LINE * side


def _joined(first: Segment, second: Segment, side: int) -> Segment | None:
    gap = second.start - first.end
    length = second.end - first.start
    if first.start >= second.start or second.end <= first.end or gap > MERGE_GAP * length:
        return None
    middle = (first.end + second.start) / 2
    apart = abs(first.at(middle) - second.at(middle))
    turn = abs(np.degrees(np.arctan(first.slope) - np.arctan(second.slope)))
    if apart > MERGE_APART * side or turn > MERGE_ANGLE_DEG:
        return None
    start_y, end_y = first.at(first.start), second.at(second.end)
    slope = (end_y - start_y) / length
    return Segment(start_y - slope * first.start, slope, first.start, second.end)
