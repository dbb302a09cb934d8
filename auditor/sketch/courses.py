"""The course of lines drawn by hand: where each really runs, beside the straight line through it.

The course is the path with the most ridge under it that leaves its straight line by no more than a
band and turns by no more than 45 degrees, found for all lines at once by dynamic programming. It is
followed past both ends of the line as far as something is drawn.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.sketch.long_lines import LONGEST_GAP, Segment

Floats = NDArray[np.float64]

# Shares of the long side of the page: half the width of the band, and how far past its ends a line
# is followed. A hand's side of half the page bows by up to 5 % of its length.
BAND = 0.026
BEYOND = 0.10
TURN_PENALTY = 0.15  # of a step across, in px of ridge
CLEAR_RIDGE = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Courses:
    """Lines that run across the page.

    Attributes
    ----------
    y : (n, w) float array
        Where each runs at each x; beyond its ends it goes on straight.
    start, end : (n,) float array
        Its ends.
    is_drawn : (n, w) bool array
        Whether there is a ridge under it.
    counts : (n, w + 1) int array
        Number of px that are drawn before each x.
    """

    y: NDArray[np.float32]
    start: Floats
    end: Floats
    is_drawn: NDArray[np.bool_]
    counts: NDArray[np.int32]


def follow(segments: list[Segment], ridge: NDArray[np.float32]) -> Courses:
    """Follow lines.

    Parameters
    ----------
    segments : list of Segment
        At least one.
    ridge : (h, w) float array
        In [0, 1].
    """
    height, width = ridge.shape
    side = max(height, width)
    table = np.array([[s.intercept, s.slope, s.start, s.end] for s in segments])
    x = np.arange(width)
    straight: Floats = table[:, :1] + table[:, 1:2] * x.astype(np.float64)
    band = int(BAND * side)
    offsets = np.arange(-band, band + 1)
    rows = np.rint(straight[..., None] + offsets).astype(np.int32)
    inside = (rows >= 0) & (rows < height)
    strips = np.where(inside, ridge[np.clip(rows, 0, height - 1), x[None, :, None]], 0)
    beyond = BEYOND * side
    wanted = (x >= table[:, 2:3] - beyond) & (x <= table[:, 3:4] + beyond)
    strips *= wanted[..., None]
    path = _best_paths(strips.astype(np.float32))
    is_drawn = np.take_along_axis(strips, path[..., None], axis=2)[..., 0] >= CLEAR_RIDGE
    y: Floats = straight + offsets[path].astype(np.float64)
    start, end = _ends(is_drawn, table, LONGEST_GAP * side)
    y = _continued(y, straight, start, end)
    counts = np.zeros((len(segments), width + 1), dtype=np.int32)
    is_drawn.cumsum(axis=1, out=counts[:, 1:])
    return Courses(y.astype(np.float32), start, end, is_drawn, counts)


def _best_paths(strips: NDArray[np.float32]) -> NDArray[np.intp]:
    """Index of the state at each x: (n, w) of (n, w, states)."""
    n_lines, width, n_states = strips.shape
    back = np.zeros((width, n_lines, n_states), dtype=np.int8)
    score = strips[:, 0].copy()
    padded = np.full((n_lines, n_states + 2), -1e9, dtype=np.float32)
    for column in range(1, width):
        padded[:, 1:-1] = score
        before, after = padded[:, :-2] - TURN_PENALTY, padded[:, 2:] - TURN_PENALTY
        best = np.maximum(before, after)
        step = np.where(before >= after, -1, 1)
        back[column] = np.where(score >= best, 0, step)
        score = np.maximum(score, best) + strips[:, column]
    path = np.zeros((n_lines, width), dtype=np.intp)
    path[:, -1] = score.argmax(axis=1)
    lines = np.arange(n_lines)
    for column in range(width - 1, 0, -1):
        path[:, column - 1] = path[:, column] + back[column, lines, path[:, column]]
    return path


def _ends(is_drawn: NDArray[np.bool_], table: Floats, gap_px: float) -> tuple[Floats, Floats]:
    """The ends of each line, moved outwards as long as no long gap comes."""
    starts, ends = table[:, 2].copy(), table[:, 3].copy()
    for index, drawn in enumerate(is_drawn):
        places = np.flatnonzero(drawn)
        starts[index] = -_reached(-places[::-1], -starts[index], gap_px)
        ends[index] = _reached(places, ends[index], gap_px)
    return starts, ends


def _reached(places: NDArray[np.intp], end: float, gap_px: float) -> float:
    """The last place that is connected with an end."""
    past = places[places > end]
    if not past.size or past[0] - end > gap_px:
        return end
    cuts = np.flatnonzero(np.diff(past) > gap_px)
    return float(past[cuts[0]] if cuts.size else past[-1])


def _continued(y: Floats, straight: Floats, start: Floats, end: Floats) -> Floats:
    """Courses that go on parallel to their straight lines beyond their ends."""
    width = y.shape[1]
    x = np.arange(width)
    first = np.clip(start, 0, width - 1).astype(np.intp)[:, None]
    last = np.clip(end, 0, width - 1).astype(np.intp)[:, None]
    off = y - straight
    off = np.where(x < first, np.take_along_axis(off, first, axis=1), off)
    off = np.where(x > last, np.take_along_axis(off, last, axis=1), off)
    return np.asarray(straight + off)
