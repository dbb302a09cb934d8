"""Handwriting: rows of small letter-like marks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from skimage.morphology import skeletonize

from auditor.sketch.canvas import Mask

EIGHT = np.ones((3, 3), dtype=np.bool_)

# Of letters, as shares of the frame's longer side (our choice: a letter as high as this can still
# be read beside the drawing, and a larger one takes the place of a thing).
TALLEST, WIDEST, LOWEST = 0.075, 0.4, 0.008
# In a row: how much of the lower mark's height its neighbour stands beside, and how far from it in
# heights of the row; the second also bridges the space between words.
LEAST_BESIDE, MOST_SPACE = 0.35, 1.3
LEAST_MARKS = 3
LEAST_WIDTH_OVER_HEIGHT = 1.7
MOST_TALL = 3.0  # height over width of the usual mark: steam and tines are taller
LEAST_WANDER = 1.7  # ink along a joined word over its width: a line that only runs has 1
MOST_CLEAN_RINGS = 0.6  # share of the marks that are rings: rows of berries, not of letters
RING_FILL = 0.45  # share of a ring's box that its outline encloses
SMALL_RING = 0.02  # letters of this height may be rings
MOST_UNEQUAL = 3.5  # between the tall and the low marks of a row


@dataclass(frozen=True, slots=True, eq=False)
class Mark:
    """A small connected piece of ink.

    Attributes
    ----------
    label : int
    rows, columns : slice
    ink_px : int
        Length of its skeleton.
    enclosed : float
        Share of its box that its outline encloses.
    """

    label: int
    rows: slice
    columns: slice
    ink_px: int
    enclosed: float

    @property
    def height(self) -> int:
        """In px."""
        return int(self.rows.stop - self.rows.start)

    @property
    def width(self) -> int:
        """In px."""
        return int(self.columns.stop - self.columns.start)


@dataclass(frozen=True, slots=True, eq=False)
class Note:
    """A row of handwriting.

    Attributes
    ----------
    rows, columns : slice
        Its box on the canvas.
    mask : (h, w) bool array
        Its ink.
    """

    rows: slice
    columns: slice
    mask: Mask


def find_notes(ink: Mask, long_side: int) -> list[Note]:
    """Rows of handwriting in the ink that is no grid and no arrow.

    Parameters
    ----------
    ink : (h, w) bool array
    long_side : int
        Of the frame, in px.
    """
    labels, _ = ndimage.label(ink, EIGHT)
    marks = _marks(labels, skeletonize(ink), long_side)
    notes = []
    for row in _rows(marks):
        if _is_writing(row, long_side):
            rows = slice(min(m.rows.start for m in row), max(m.rows.stop for m in row))
            columns = slice(min(m.columns.start for m in row), max(m.columns.stop for m in row))
            notes.append(Note(rows, columns, np.isin(labels, [m.label for m in row])))
    return notes


def _marks(labels: NDArray[np.intp], skeleton: Mask, long_side: int) -> list[Mark]:
    """The pieces of ink that are small enough for letters."""
    marks = []
    for label, (rows, columns) in enumerate(ndimage.find_objects(labels), start=1):
        height, width = rows.stop - rows.start, columns.stop - columns.start
        if height > TALLEST * long_side or width > WIDEST * long_side:
            continue
        if max(height, width) < LOWEST * long_side:
            continue
        own = labels[rows, columns] == label
        filled = ndimage.binary_fill_holes(own)
        marks.append(
            Mark(
                label,
                rows,
                columns,
                int((skeleton[rows, columns] & own).sum()),
                float((filled & ~own).sum()) / own.size,
            )
        )
    return marks


def _rows(marks: list[Mark]) -> list[list[Mark]]:
    """Marks that stand beside each other, left to right."""
    if not marks:
        return []
    top, bottom, left, right = (
        np.array(values, dtype=float)
        for values in zip(
            *((m.rows.start, m.rows.stop, m.columns.start, m.columns.stop) for m in marks),
            strict=True,
        )
    )
    height = bottom - top
    beside = np.minimum(bottom[:, None], bottom) - np.maximum(top[:, None], top)
    between = np.maximum(left[:, None], left) - np.minimum(right[:, None], right)
    taller = np.maximum(height[:, None], height)
    lower = np.minimum(height[:, None], height)
    linked = (beside >= LEAST_BESIDE * lower) & (between <= MOST_SPACE * taller)
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import connected_components

    n_rows, row_of = connected_components(csr_array(linked), directed=False)
    rows = [[marks[i] for i in np.flatnonzero(row_of == row)] for row in range(n_rows)]
    return [sorted(row, key=lambda mark: mark.columns.start) for row in rows]


def _is_writing(row: list[Mark], long_side: int) -> bool:
    height = float(np.median([m.height for m in row]))
    left, right = min(m.columns.start for m in row), max(m.columns.stop for m in row)
    whole = max(m.rows.stop for m in row) - min(m.rows.start for m in row)
    if whole > 1.6 * TALLEST * long_side or (right - left) < LEAST_WIDTH_OVER_HEIGHT * height:
        return False
    wander = sum(m.ink_px for m in row) / sum(m.width for m in row)
    if len(row) < LEAST_MARKS:
        return wander >= LEAST_WANDER and _joined_word(row)
    rings = np.mean([m.enclosed > RING_FILL for m in row])
    if rings > MOST_CLEAN_RINGS and height > SMALL_RING * long_side:
        return False
    if np.median([m.height / m.width for m in row]) > MOST_TALL:
        return False
    heights = np.percentile([m.height for m in row], (15, 85))
    return bool(heights[1] <= MOST_UNEQUAL * heights[0] and wander >= LEAST_WANDER / 1.5)


def _joined_word(row: list[Mark]) -> bool:
    """Whether one or two marks are words written in one go, not small things."""
    longest = max(row, key=lambda mark: mark.width)
    return longest.width >= 2.2 * longest.height and longest.enclosed < 0.3
