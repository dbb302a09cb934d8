"""Rows of shapes in a picture that could be writing, at several sizes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.measurements.additions.row_features import describe_rows
from auditor.measurements.additions.rows import Row, find_rows
from auditor.measurements.additions.shapes import Shapes, find_shapes
from auditor.measurements.additions.strokes import Strokes, find_strokes, luma_of

N_LEVELS = 3
"""The picture, a half and a quarter of it: strokes up to 36 px wide."""

MIN_LEVEL_PX = 96
"""Shortest side of a level."""

MIN_HEIGHT_FRACTION = 0.012
MAX_HEIGHT_FRACTION = 0.3
"""Heights of letters relative to the shorter side of the frame: smaller ones are grain."""


@dataclass(frozen=True)
class StrokeImage:
    """The strokes of one polarity in the picture or in a reduction of it.

    Attributes
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    reduction : int
        How many times smaller than the picture it is.
    light : bool
        Whether the ink is lighter than its surroundings.
    strokes : Strokes
    """

    pixels: NDArray[np.uint8]
    reduction: int
    light: bool
    strokes: Strokes

    @cached_property
    def shapes(self) -> Shapes:
        """Shapes of single strokes."""
        return find_shapes(self.strokes, joined=False)


@dataclass(frozen=True, slots=True)
class Candidate:
    """A row that could be writing.

    Attributes
    ----------
    features : (F,) float array
        By `FEATURE_NAMES`.
    row : Row
        In px of the image.
    image : StrokeImage
        In which it was found.
    """

    features: NDArray[np.float64]
    row: Row
    image: StrokeImage


def stroke_images(pixels: NDArray[np.uint8]) -> list[StrokeImage]:
    """Find the strokes of (H, W, 3) uint8 sRGB pixels, at several sizes and in both polarities."""
    images = []
    for reduction, level in _levels(pixels):
        luma = luma_of(level)
        images += [
            StrokeImage(level, reduction, light, find_strokes(luma, light=light))
            for light in (True, False)
        ]
    return images


def candidates(images: Sequence[StrokeImage]) -> Iterator[Candidate]:
    """Find all rows that could be writing in the stroke images of a picture."""
    for image in images:
        short_side_px = min(images[0].pixels.shape[:2])
        for joined in (False, True) if image.reduction == 1 else (False,):
            shapes = find_shapes(image.strokes, joined=True) if joined else image.shapes
            letters, found = find_rows(image.pixels, image.strokes, shapes, joined=joined)
            rows = [
                row
                for row in found
                if MIN_HEIGHT_FRACTION
                <= row.letter_height * image.reduction / short_side_px
                <= MAX_HEIGHT_FRACTION
            ]
            features = describe_rows(
                image.pixels,
                image.strokes,
                letters,
                rows,
                joined=joined,
                reduction=image.reduction,
                short_side_px=short_side_px,
            )
            for row, numbers in zip(rows, features, strict=True):
                yield Candidate(numbers, row, image)


def _levels(pixels: NDArray[np.uint8]) -> Iterator[tuple[int, NDArray[np.uint8]]]:
    """The picture and its reductions, each with the number of times that it is smaller."""
    level = pixels
    for number in range(N_LEVELS):
        if number:
            level = _halved(level)
        if min(level.shape[:2]) < MIN_LEVEL_PX:
            return
        yield 2**number, level


def _halved(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Means of 2 by 2 pixels; an odd row or column at the end is left out."""
    rows, columns = pixels.shape[0] // 2 * 2, pixels.shape[1] // 2 * 2
    even = Image.fromarray(np.ascontiguousarray(pixels[:rows, :columns]))
    return np.asarray(even.reduce(2))
