"""Shapes of strokes that have the size of letters."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import label

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
    places : (M,) int array
        Pixels of the shapes, as indices of the flattened picture, in ascending order.
    owners : (M,) int array
        The shape to which each of them belongs.
    """

    left: Column
    top: Column
    right: Column
    bottom: Column
    area: Column
    places: Indices
    owners: Indices

    @property
    def count(self) -> int:
        """Number of shapes."""
        return self.area.size

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
    near = highest(drawn.view(np.uint8), JOINED_GAP_PX) if joined else drawn
    labels, n = label(near, output=np.int32)
    places = np.flatnonzero(drawn)
    of = labels.ravel()[places]
    area = np.bincount(of, minlength=n + 1)
    # Most are specks; without them the rest is fast.
    large = area[of] >= MIN_AREA_PX
    places, of = places[large], of[large]
    boxes = _boxes(places, of, n, drawn.shape[1])
    numbers = np.flatnonzero(_fits(boxes, area, drawn.shape))
    place = np.full(n + 1, -1)
    place[numbers] = np.arange(numbers.size)
    owners = place[of]
    kept = owners >= 0
    left, top, right, bottom = (side[numbers].astype(np.float64) for side in boxes)
    return Shapes(
        left, top, right, bottom, area[numbers].astype(np.float64), places[kept], owners[kept]
    )


def _boxes(places: Indices, of: NDArray[np.int32], n: int, width: int) -> tuple[Indices, ...]:
    """Left, top, right and bottom of each label; right and bottom exclusive."""
    rows, columns = np.divmod(places, width)
    left, top = np.full(n + 1, width), np.zeros(n + 1, dtype=np.intp)
    right, bottom = np.zeros(n + 1, dtype=np.intp), np.zeros(n + 1, dtype=np.intp)
    np.minimum.at(left, of, columns)
    np.maximum.at(right, of, columns + 1)
    # Places are in order of rows: what is written last stays.
    top[of[::-1]] = rows[::-1]
    bottom[of] = rows + 1
    return left, top, right, bottom


def _fits(boxes: tuple[Indices, ...], area: Indices, shape: tuple[int, ...]) -> NDArray[np.bool_]:
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
    fits[0] = False
    return fits
