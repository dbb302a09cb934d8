"""Shapes that could be letters, measured: their strokes and their ink."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.additions.shapes import Column, Indices, Shapes
from auditor.measurements.additions.strokes import Strokes

MIDDLE_OF_STROKE = 0.75
"""Share of the shape's highest step from which a pixel is in the middle of a stroke."""

TINY = 1e-9
"""Avoids a division by zero."""


@dataclass(frozen=True, slots=True)
class Letters:
    """Some shapes of one polarity, as columns of numbers; lengths in px.

    Attributes
    ----------
    shapes : (N,) int array
        Their places in the columns of `Shapes`.
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

    shapes: Indices
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


def measure_letters(
    pixels: NDArray[np.uint8], strokes: Strokes, shapes: Shapes, chosen: NDArray[np.bool_]
) -> Letters:
    """Measure some of the shapes.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    strokes, shapes
        Found in it.
    chosen : (N,) bool array
        True for the shapes to measure.
    """
    numbers = np.flatnonzero(chosen)
    n = numbers.size
    at, of = shapes.pixels_of(chosen)
    steps = strokes.step.ravel()[at].astype(np.float64)
    highest_step = np.zeros(n)
    np.maximum.at(highest_step, of, steps)
    in_middle = steps >= MIDDLE_OF_STROKE * highest_step[of]
    owner, colours = of[in_middle], pixels.reshape(-1, 3)[at[in_middle]].astype(np.float64)
    n_middle = np.maximum(np.bincount(owner, minlength=n), TINY)
    ink = np.stack([np.bincount(owner, colours[:, c], n) / n_middle for c in range(3)], axis=1)
    deviation = ((colours - ink[owner]) ** 2).mean(axis=1)
    n_pixels = np.maximum(np.bincount(of, minlength=n), TINY)
    outline, steepest = _edges(strokes, at, of, n)
    area = shapes.area[numbers]
    return Letters(
        shapes=numbers,
        left=shapes.left[numbers],
        top=shapes.top[numbers],
        right=shapes.right[numbers],
        bottom=shapes.bottom[numbers],
        area=area,
        stroke=2 * area / np.maximum(outline, 1),
        ink=ink,
        ground=np.bincount(of, strokes.ground.ravel()[at], n) / n_pixels,
        ink_spread=np.sqrt(np.bincount(owner, deviation, n) / n_middle),
        steepness=steepest / np.maximum(highest_step, 1),
    )


def _edges(strokes: Strokes, at: Indices, of: Indices, n: int) -> tuple[Column, Column]:
    """Length of the outline of each of `n` shapes, and its steepest change of luma, in px.

    `at` are their pixels, none at the edge of the frame, and `of` says to which each belongs.
    """
    drawn, luma = strokes.drawn.ravel(), strokes.luma.ravel().astype(np.int16)
    own = luma[at]
    outside, steepest = np.zeros(at.size), np.zeros(at.size, dtype=np.int16)
    for shift in (-1, 1, -strokes.drawn.shape[1], strokes.drawn.shape[1]):
        # A stroke's pixel beside one of the shape belongs to the shape.
        outside += ~drawn[at + shift]
        np.maximum(steepest, np.abs(own - luma[at + shift]), out=steepest)
    steepest_of = np.zeros(n)
    np.maximum.at(steepest_of, of, steepest.astype(np.float64))
    return np.bincount(of, outside, n).astype(np.float64), steepest_of
