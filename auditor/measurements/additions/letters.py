"""Shapes of strokes that have the size of letters, measured."""

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

MIDDLE_OF_STROKE = 0.75
"""Share of the shape's highest step from which a pixel is in the middle of a stroke."""

JOINED_GAP_PX = 3
"""Side of the window that joins strokes into one shape: the strokes of one Chinese character, or
the letters of a word in small print, are about 2 px apart."""

TINY = 1e-9
"""Avoids a division by zero."""

Column = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Letters:
    """Shapes of one polarity, as columns of numbers; lengths in px.

    Attributes
    ----------
    labels : (H, W) int32 array
        Shape `n` has the label ``numbers[n]``.
    numbers : (N,) int array
    left, top, right, bottom : (N,) float array
        Boxes; right and bottom exclusive.
    area : (N,) float array
    stroke : (N,) float array
        Mean width of the strokes: area relative to half of the outline.
    ink : (N, 3) float array
        Mean colour of the middle of the strokes, sRGB code values.
    ground : (N,) float array
        Luma of the surroundings.
    ink_spread : (N,) float array
        Standard deviation of the middle of the strokes, mean of the channels.
    steepness : (N,) float array
        Steepest change of luma from one pixel to the next, relative to the highest step.
    """

    labels: NDArray[np.int32]
    numbers: NDArray[np.intp]
    left: Column
    top: Column
    right: Column
    bottom: Column
    area: Column
    stroke: Column
    ink: NDArray[np.float64]
    ground: Column
    ink_spread: Column
    steepness: Column

    @property
    def height(self) -> Column:
        """Heights of the boxes."""
        return self.bottom - self.top


def find_letters(pixels: NDArray[np.uint8], strokes: Strokes, *, joined: bool) -> Letters:
    """Measure the shapes that could be letters.

    Shapes that touch the edge of the frame are left out: what the frame cuts ends in one line, as
    letters do.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    strokes : Strokes
    joined : bool
        Join strokes that almost touch.
    """
    if joined:
        near, n = label(highest(strokes.drawn.view(np.uint8), JOINED_GAP_PX), output=np.int32)
        labels: NDArray[np.int32] = near * strokes.drawn
    else:
        labels, n = label(strokes.drawn, output=np.int32)
    rows, columns = np.nonzero(labels)
    of = labels[rows, columns]
    boxes = _boxes(rows, columns, of, n)
    area = np.bincount(of, minlength=n + 1)
    numbers = np.flatnonzero(_fits(boxes, area, labels.shape))
    place = np.full(n + 1, -1)
    place[numbers] = np.arange(numbers.size)
    kept = place[of] >= 0
    measured = _measured(
        pixels, strokes, labels, (rows[kept], columns[kept]), place[of[kept]], numbers.size
    )
    left, top, right, bottom = (side[numbers].astype(np.float64) for side in boxes)
    area_px = area[numbers].astype(np.float64)
    ink, ground, ink_spread, steepness, outline = measured
    return Letters(
        labels=labels,
        numbers=numbers,
        left=left,
        top=top,
        right=right,
        bottom=bottom,
        area=area_px,
        stroke=2 * area_px / np.maximum(outline, 1),
        ink=ink,
        ground=ground,
        ink_spread=ink_spread,
        steepness=steepness,
    )


def _boxes(
    rows: NDArray[np.intp], columns: NDArray[np.intp], of: NDArray[np.int32], n: int
) -> tuple[NDArray[np.intp], ...]:
    """Left, top, right and bottom of each label; right and bottom exclusive."""
    far = max(rows.max(initial=0), columns.max(initial=0)) + 1
    left, top = np.full(n + 1, far), np.full(n + 1, far)
    right, bottom = np.zeros(n + 1, dtype=np.intp), np.zeros(n + 1, dtype=np.intp)
    np.minimum.at(left, of, columns)
    np.maximum.at(right, of, columns + 1)
    np.minimum.at(top, of, rows)
    np.maximum.at(bottom, of, rows + 1)
    return left, top, right, bottom


def _fits(
    boxes: tuple[NDArray[np.intp], ...], area: NDArray[np.intp], shape: tuple[int, ...]
) -> NDArray[np.bool_]:
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


def _measured(
    pixels: NDArray[np.uint8],
    strokes: Strokes,
    labels: NDArray[np.int32],
    at: tuple[NDArray[np.intp], NDArray[np.intp]],
    of: NDArray[np.intp],
    n: int,
) -> tuple[NDArray[np.float64], Column, Column, Column, Column]:
    """Ink, ground, spread of the ink, steepness and outline of each of `n` shapes.

    `at` are the rows and columns of their pixels, none at the edge of the frame, and `of` says to
    which shape each belongs.
    """
    flat = np.ravel_multi_index(at, labels.shape)
    steps = strokes.step.ravel()[flat].astype(np.float64)
    highest_step = np.zeros(n)
    np.maximum.at(highest_step, of, steps)
    in_middle = steps >= MIDDLE_OF_STROKE * highest_step[of]
    owner, colours = of[in_middle], pixels.reshape(-1, 3)[flat[in_middle]].astype(np.float64)
    n_middle = np.maximum(np.bincount(owner, minlength=n), TINY)
    ink = np.stack([np.bincount(owner, colours[:, c], n) / n_middle for c in range(3)], axis=1)
    deviation = ((colours - ink[owner]) ** 2).mean(axis=1)
    n_pixels = np.maximum(np.bincount(of, minlength=n), TINY)
    ground = np.bincount(of, strokes.ground.ravel()[flat], n) / n_pixels
    own, luma = labels.ravel(), strokes.luma.ravel().astype(np.int16)
    outline, steepest = np.zeros(of.size), np.zeros(n)
    for shift in (-1, 1, -labels.shape[1], labels.shape[1]):
        outline += own[flat + shift] != own[flat]
        np.maximum.at(steepest, of, np.abs(luma[flat] - luma[flat + shift]).astype(np.float64))
    return (
        ink,
        ground,
        np.sqrt(np.bincount(owner, deviation, n) / n_middle),
        (steepest / np.maximum(highest_step, 1)).astype(np.float64),
        np.bincount(of, outline, n).astype(np.float64),
    )
