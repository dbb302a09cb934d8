"""Shapes of strokes that have the size of letters."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.connected import connected_groups
from auditor.measurements.additions.strokes import Strokes, highest

LETTER_HEIGHT_PX = (5, 72)
"""Heights of a letter or a joined word. Smaller ones have no shape, larger ones have strokes too
wide for the window; they are found in the reduced picture."""

MIN_AREA_PX = 9
"""Smallest area of a letter: an i of 6 px height."""

MAX_ASPECT = 12.0
"""Width relative to height of the longest joined word."""

MAX_FILL = 0.92
"""Share of its box that a letter covers at most; a solid bar is a letter only if upright."""

JOINED_GAP_PX = 3
"""Side of the window that joins strokes into one shape: the strokes of one Chinese character, or
the letters of a word in small print, are about 2 px apart."""

Column = NDArray[np.float64]
Indices = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Shapes:
    """Shapes of one polarity, as columns of numbers; lengths in px.

    Attributes
    ----------
    left, top, right, bottom : (N,) float array
        Boxes; right and bottom exclusive.
    area : (N,) float array
    starts, stops : (M,) int array
        Runs of pixels of the shapes, as indices of the flattened picture, in ascending order.
    owners : (M,) int array
        The shape to which each of them belongs.
    """

    left: Column
    top: Column
    right: Column
    bottom: Column
    area: Column
    starts: Indices
    stops: Indices
    owners: Indices

    @property
    def count(self) -> int:
        """Number of shapes."""
        return self.area.size

    def pixels_of(self, chosen: NDArray[np.bool_]) -> tuple[Indices, Indices]:
        """Pixels of some shapes, in ascending order, and the place of each among those chosen."""
        kept = chosen[self.owners]
        starts, lengths = self.starts[kept], (self.stops - self.starts)[kept]
        step = np.arange(lengths.sum()) - np.repeat(np.cumsum(lengths) - lengths, lengths)
        of = (np.cumsum(chosen) - 1)[self.owners[kept]]
        return np.repeat(starts, lengths) + step, np.repeat(of, lengths)

    @property
    def width(self) -> Column:
        """Widths of the boxes."""
        return self.right - self.left

    @property
    def height(self) -> Column:
        """Heights of the boxes."""
        return self.bottom - self.top


def find_shapes(strokes: Strokes, *, joined: bool) -> Shapes:
    """Find the shapes that could be letters.

    Shapes that touch the edge of the frame are left out: what the frame cuts ends in one line, as
    letters do.

    Parameters
    ----------
    strokes : Strokes
    joined : bool
        Join strokes that almost touch.
    """
    drawn = strokes.drawn
    runs = _Runs.of(drawn)
    if joined:
        near = _Runs.of(highest(drawn.view(np.uint8), JOINED_GAP_PX).view(np.bool_))
        # Each run lies in one run of the joined strokes.
        within = np.searchsorted(near.start, runs.start, side="right") - 1
        label = near.labelled()[within]
    else:
        label = runs.labelled()
    n = int(label.max(initial=-1)) + 1
    area = np.asarray(np.bincount(label, runs.stop - runs.start, n), dtype=np.float64)
    boxes = runs.boxes(label, n)
    numbers = np.flatnonzero(_fits(boxes, area, drawn.shape))
    place = np.full(n, -1)
    place[numbers] = np.arange(numbers.size)
    owners = place[label]
    kept = owners >= 0
    left, top, right, bottom = (side[numbers].astype(np.float64) for side in boxes)
    rows = runs.row * drawn.shape[1]
    return Shapes(
        left,
        top,
        right,
        bottom,
        area[numbers],
        (rows + runs.start_column)[kept],
        (rows + runs.stop_column)[kept],
        owners[kept],
    )


@dataclass(frozen=True, slots=True)
class _Runs:
    """Marked pixels of a mask in runs along its rows, in order.

    `start` and `stop` are positions in the mask with one column more, which is never marked, so
    that no run goes on in the next row.
    """

    start: Indices
    stop: Indices
    width: int

    @staticmethod
    def of(mask: NDArray[np.bool_]) -> _Runs:
        height, width = mask.shape
        wide = np.zeros((height, width + 1), dtype=np.bool_)
        wide[:, 1:] = mask
        flat = wide.ravel()
        changes = np.flatnonzero(flat[1:] != flat[:-1])
        if changes.size % 2:
            changes = np.append(changes, flat.size - 1)
        return _Runs(changes[::2], changes[1::2], width + 1)

    @property
    def row(self) -> Indices:
        """Row of each run."""
        return self.start // self.width

    @property
    def start_column(self) -> Indices:
        """First column of each run."""
        return self.start % self.width

    @property
    def stop_column(self) -> Indices:
        """Column after the last of each run."""
        return self.start % self.width + self.stop - self.start

    def labelled(self) -> Indices:
        """Label from 0 of each run, by the connected shape that it is part of."""
        first = np.searchsorted(self.stop, self.start + self.width, side="right")
        last = np.searchsorted(self.start, self.stop + self.width, side="left")
        counts = np.maximum(last - first, 0)
        one = np.repeat(np.arange(counts.size), counts)
        step = np.arange(one.size) - np.repeat(np.cumsum(counts) - counts, counts)
        return connected_groups(counts.size, one, np.repeat(first, counts) + step)

    def boxes(self, label: Indices, n: int) -> tuple[Indices, ...]:
        """Left, top, right and bottom of each of `n` labels; right and bottom exclusive."""
        row = self.row
        left, top = np.full(n, self.width), np.zeros(n, dtype=np.intp)
        right, bottom = np.zeros(n, dtype=np.intp), np.zeros(n, dtype=np.intp)
        np.minimum.at(left, label, self.start_column)
        np.maximum.at(right, label, self.stop_column)
        # Runs are in order of rows: what is written last stays.
        top[label[::-1]] = row[::-1]
        bottom[label] = row + 1
        return left, top, right, bottom


def _fits(boxes: tuple[Indices, ...], area: Column, shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Whether each label has the size of a letter and lies within the frame."""
    left, top, right, bottom = boxes
    height, width = bottom - top, right - left
    low, high = LETTER_HEIGHT_PX
    fits: NDArray[np.bool_] = (
        (height >= low)
        & (height <= high)
        & (area >= MIN_AREA_PX)
        & (width <= MAX_ASPECT * height)
        & ((area <= MAX_FILL * height * width) | (height >= 2 * width))
        & (left > 0)
        & (top > 0)
        & (right < shape[1])
        & (bottom < shape[0])
    )
    return fits
