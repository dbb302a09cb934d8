"""Rows of shapes that could be letters of one line of writing."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.connected import connected_groups
from auditor.measurements.additions.letters import Letters

MAX_GAP = 1.3
"""Largest gap between neighbours, relative to the height of the smaller: a word space is about 0.3
of the type size, and a small letter half as high as the type."""

MAX_OVERLAP = 0.5
"""Farthest that the box of a neighbour reaches into the other, in heights of the smaller."""

MIN_COMMON_HEIGHT = 0.6
"""Share of the smaller one's height that two neighbours have in common."""

MAX_HEIGHT_RATIO = 2.4
"""Heights of neighbours: a letter with ascender and accent beside one without."""

MAX_STROKE_RATIO = 1.9
"""Stroke widths of neighbours: thin and thick strokes of one serif face."""

MAX_INK_DIFFERENCE = 25.0
"""Mean difference of the channels between the inks of neighbours, 8-bit code values."""

INK_PER_GROUND = 0.5
"""What is added to it for each code value by which their surroundings differ: half-transparent ink
follows them."""

ALIGNED = 0.15
"""Distance between the tops or bottoms of neighbours, relative to the larger height, plus 1 px."""

MAX_NEIGHBOURS = 40
"""Shapes to the right of one that are tried, the nearest first, to bound the time."""

MIN_LETTERS, MIN_WORDS = 3, 1
"""Least number of shapes in a row; joined shapes are whole words or characters."""

MIN_SPAN = 2.5
"""Least length of a row relative to the height of its letters: three letters."""


@dataclass(frozen=True, slots=True)
class Row:
    """Some of the letters, in one row.

    Attributes
    ----------
    members : (n,) int array
        Places in the columns of `Letters`.
    left, top, right, bottom : float
        Box in px; right and bottom exclusive.
    letter_height : float
        Mean height in px.
    """

    members: NDArray[np.intp]
    left: float
    top: float
    right: float
    bottom: float
    letter_height: float


def find_rows(letters: Letters, *, joined: bool) -> list[Row]:
    """Find rows of shapes alike in height, stroke and ink, one beside the other.

    Parameters
    ----------
    letters : Letters
    joined : bool
        Whether strokes that almost touch were joined; a single word is then a row.
    """
    n = letters.numbers.size
    if n == 0:
        return []
    row_of = connected_groups(n, *_neighbours(letters))
    order = np.argsort(row_of, kind="stable")
    starts = np.flatnonzero(np.diff(row_of[order], prepend=-1))
    left = np.minimum.reduceat(letters.left[order], starts)
    top = np.minimum.reduceat(letters.top[order], starts)
    right = np.maximum.reduceat(letters.right[order], starts)
    bottom = np.maximum.reduceat(letters.bottom[order], starts)
    counts = np.diff(starts, append=n)
    height = np.add.reduceat(letters.height[order], starts) / counts
    is_long = right - left >= MIN_SPAN * height
    is_row = is_long & (counts >= (MIN_WORDS if joined else MIN_LETTERS))
    return [
        Row(
            members=order[starts[at] : starts[at] + counts[at]],
            left=float(left[at]),
            top=float(top[at]),
            right=float(right[at]),
            bottom=float(bottom[at]),
            letter_height=float(height[at]),
        )
        for at in np.flatnonzero(is_row)
    ]


def _neighbours(letters: Letters) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Pairs of shapes that may stand beside each other in one row."""
    order = np.argsort(letters.left, kind="stable")
    left, right = letters.left[order], letters.right[order]
    top, bottom = letters.top[order], letters.bottom[order]
    height = bottom - top
    n = order.size
    reach = np.searchsorted(left, right + MAX_GAP * height, side="right")
    counts = np.clip(reach - np.arange(n) - 1, 0, MAX_NEIGHBOURS)
    i = np.repeat(np.arange(n), counts)
    j = i + 1 + np.arange(i.size) - np.repeat(np.cumsum(counts) - counts, counts)
    smaller, larger = np.minimum(height[i], height[j]), np.maximum(height[i], height[j])
    gap = left[j] - right[i]
    common = np.minimum(bottom[i], bottom[j]) - np.maximum(top[i], top[j])
    off_line = np.minimum(np.abs(bottom[i] - bottom[j]), np.abs(top[i] - top[j]))
    beside = (
        (gap <= MAX_GAP * smaller)
        & (gap > -MAX_OVERLAP * smaller)
        & (common >= MIN_COMMON_HEIGHT * smaller)
        & (larger <= MAX_HEIGHT_RATIO * smaller)
        & (off_line <= ALIGNED * larger + 1)
    )
    i, j = order[i[beside]], order[j[beside]]
    alike = are_alike(letters, i, j)
    return i[alike], j[alike]


def are_alike(letters: Letters, i: NDArray[np.intp], j: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Whether the shapes of each pair are alike in stroke and ink."""
    strokes = np.abs(np.log(letters.stroke[i] / letters.stroke[j]))
    inks = np.abs(letters.ink[i] - letters.ink[j]).mean(axis=1)
    grounds = np.abs(letters.ground[i] - letters.ground[j])
    alike: NDArray[np.bool_] = (strokes < math.log(MAX_STROKE_RATIO)) & (
        inks < MAX_INK_DIFFERENCE + INK_PER_GROUND * grounds
    )
    return alike
