"""Rows of shapes in a picture that could be writing, at several sizes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.additions.letters import Letters, find_letters
from auditor.measurements.additions.row_features import describe_row
from auditor.measurements.additions.rows import Row, find_rows
from auditor.measurements.additions.strokes import Strokes, find_strokes, luma_of

N_LEVELS = 3
"""The picture, a half and a quarter of it: strokes up to 36 px wide."""

MIN_LEVEL_PX = 96
"""Shortest side of a level."""

MIN_HEIGHT_FRACTION = 0.012
MAX_HEIGHT_FRACTION = 0.3
"""Heights of letters relative to the shorter side of the frame: smaller ones are grain."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A row that could be writing.

    Attributes
    ----------
    features : list of float
        By `FEATURE_NAMES`.
    reduction : int
        How many times smaller than the picture the level is in which it was found.
    light : bool
        Whether the ink is lighter than its surroundings.
    row, letters, strokes
        In px of the level.
    """

    features: list[float]
    reduction: int
    light: bool
    row: Row
    letters: Letters
    strokes: Strokes


def candidates(pixels: NDArray[np.uint8]) -> Iterator[Candidate]:
    """Find all rows that could be writing in (H, W, 3) uint8 sRGB pixels."""
    short_side = min(pixels.shape[:2])
    for reduction, level in levels(pixels):
        luma = luma_of(level)
        for light in (True, False):
            strokes = find_strokes(luma, light=light)
            for joined in (False, True) if reduction == 1 else (False,):
                letters = find_letters(level, strokes, joined=joined)
                for row in find_rows(letters, joined=joined):
                    height = row.letter_height * reduction / short_side
                    if MIN_HEIGHT_FRACTION <= height <= MAX_HEIGHT_FRACTION:
                        features = describe_row(
                            level,
                            strokes,
                            letters,
                            row,
                            joined=joined,
                            reduction=reduction,
                            short_side_px=short_side,
                        )
                        yield Candidate(features, reduction, light, row, letters, strokes)


def levels(pixels: NDArray[np.uint8]) -> Iterator[tuple[int, NDArray[np.uint8]]]:
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
    even = pixels[:rows, :columns].astype(np.uint16)
    total = even[::2, ::2] + even[1::2, ::2] + even[::2, 1::2] + even[1::2, 1::2]
    halved: NDArray[np.uint8] = ((total + 2) >> 2).astype(np.uint8)
    return halved
