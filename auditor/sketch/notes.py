"""Handwriting: rows of small letter-like marks, judged by a small network (`MODEL.md`)."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from skimage.morphology import skeletonize

from auditor.sketch.canvas import Mask
from auditor.sketch.network import chance_of

Floats = NDArray[np.float64]

EIGHT = np.ones((3, 3), dtype=np.bool_)

# Of letters, as shares of the frame's longer side (our choice: a letter as high as this can still
# be read beside the drawing, and a larger one takes the place of a thing).
TALLEST, WIDEST, LOWEST = 0.08, 0.45, 0.008
# In a row: how much of the lower mark's height its neighbour stands beside, and how far from it in
# heights of the row; the second also bridges the space between words.
LEAST_BESIDE, MOST_SPACE = 0.35, 1.3
RING_FILL = 0.45  # share of a ring's box that its outline encloses
# A single mark may be a word in one stroke, but is more often a small thing.
LEAST_PROBABILITY, LEAST_OF_ONE = 0.5, 0.8
GAP_PX = 3  # half of a gap in an outline that still encloses
N_FEATURES = 14


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
    """Rows of handwriting in the ink that is no line of a grid.

    Parameters
    ----------
    ink : (h, w) bool array
    long_side : int
        Of the frame, in px.
    """
    labels, rows = mark_rows(ink, long_side)
    if not rows:
        return []
    chances = chance_of("notes_network.npz", np.stack([features(row, long_side) for row in rows]))
    notes = []
    for row, chance in zip(rows, chances, strict=True):
        if chance >= (LEAST_PROBABILITY if len(row) > 1 else LEAST_OF_ONE):
            down, across = box_of(row)
            notes.append(Note(down, across, np.isin(labels, [m.label for m in row])))
    return notes


def mark_rows(ink: Mask, long_side: int) -> tuple[NDArray[np.intp], list[list[Mark]]]:
    """The labelled pieces of ink, and rows of those that are small enough for letters."""
    labels, _ = ndimage.label(ink, EIGHT)
    marks = _marks(labels, skeletonize(ink), long_side)
    small = np.isin(labels, [mark.label for mark in marks])
    within = _enclosed(ink & ~small)
    outside = [mark for mark in marks if not within[_middle(mark)]]
    return labels, _rows(outside)


def _enclosed(ink: Mask) -> Mask:
    """What outlines enclose, small gaps closed: what is drawn there is food, not handwriting."""
    thick = ndimage.binary_dilation(ink, EIGHT, iterations=GAP_PX)
    return np.asarray(ndimage.binary_fill_holes(thick) & ~thick)


def _middle(mark: Mark) -> tuple[int, int]:
    return (mark.rows.start + mark.rows.stop) // 2, (mark.columns.start + mark.columns.stop) // 2


def box_of(row: list[Mark]) -> tuple[slice, slice]:
    """Rows and columns of the canvas that a row of marks takes."""
    return (
        slice(min(m.rows.start for m in row), max(m.rows.stop for m in row)),
        slice(min(m.columns.start for m in row), max(m.columns.stop for m in row)),
    )


def features(row: list[Mark], long_side: int) -> Floats:
    """Numbers by which a row of marks is judged: sizes, spacing, how much the pen wanders.

    Returns
    -------
    (N_FEATURES,) float array
    """
    down, across = box_of(row)
    whole, width = down.stop - down.start, across.stop - across.start
    heights = np.array([m.height for m in row], dtype=float)
    widths = np.array([m.width for m in row], dtype=float)
    ink = np.array([m.ink_px for m in row], dtype=float)
    enclosed = np.array([m.enclosed for m in row])
    height = float(np.median(heights))
    foot = np.array([m.rows.stop for m in row], dtype=float)
    longest = int(widths.argmax())
    return np.array([
        min(len(row), 12) / 6,
        20 * height / long_side,
        20 * heights.max() / long_side,
        10 * whole / long_side,
        math.log(width / whole),
        5 * width / long_side,
        ink.sum() / widths.sum(),
        ink.sum() / (width + whole),
        float(np.mean(enclosed > RING_FILL)),
        float(enclosed[longest]),
        float(enclosed.max()),
        math.log(float(np.percentile(heights, 85) / np.percentile(heights, 15))),
        math.log(float(np.median(heights / widths))),
        float(np.std(foot)) / whole,
    ])  # fmt: skip


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
