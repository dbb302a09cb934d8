"""Lines of writing in a picture whose lines are horizontal, with their pixels."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_dilation

from auditor.measurements.additions.candidates import Candidate, StrokeImage, candidates
from auditor.measurements.additions.row_network import log_odds_of_writing
from auditor.measurements.additions.rows import Row
from auditor.measurements.additions.shapes import LETTER_HEIGHT_PX

MARGIN = 0.5
"""What is taken with a row above and below it, in letter heights: ascenders and descenders."""

REACH = 1.6
"""How far letters are sought beyond the ends of a row at a time, in letter heights: a word space
and a letter."""

LEAST_STROKES = 0.06
"""Share of strokes in such a piece from which the line goes on."""

MAX_STEPS = 40
"""Pieces by which a line may grow to one side."""

LEAST_MARGIN_PX = 1
"""Distance from the left and right edge of the frame within which a line touches them."""

SURER_AT_EDGE = 1.5
"""Log odds that a line which touches them needs in addition: the edge of a wood and a fence go on
to the edge of the frame, while writing seldom does. Of 15 false lines in 270 photographs that touch
it 14 have less; of 26 drawn lines of writing that run into something there, 6."""

EDGE_PX = 2
"""What is taken with each stroke: antialiasing and what JPEG leaves around it."""


@dataclass(frozen=True, slots=True)
class WrittenLine:
    """One line of writing.

    Attributes
    ----------
    log_odds : float
        By `log_odds_of_writing`.
    left, top, right, bottom : float
        Box in px.
    mask : (H, W) bool array
        True on its letters.
    """

    log_odds: float
    left: float
    top: float
    right: float
    bottom: float
    mask: NDArray[np.bool_]


def find_written_lines(images: Sequence[StrokeImage], least_log_odds: float) -> list[WrittenLine]:
    """Find lines of writing in the stroke images of a picture, the most probable first.

    Of rows at the same place, found in several sizes or polarities, the most probable is kept.
    """
    found = list(candidates(images))
    odds = log_odds_of_writing([one.features for one in found])
    with_rows = {(one.image.reduction, one.image.light): one.image for one in found}
    lines: list[WrittenLine] = []
    for at in np.argsort(-odds, kind="stable"):
        if odds[at] < least_log_odds:
            break
        height, width = images[0].pixels.shape[:2]
        line = _line(found[at], float(odds[at]), list(with_rows.values()), (height, width))
        least = least_log_odds + (0 if _has_margin(line, width) else SURER_AT_EDGE)
        if line.log_odds >= least and not any(_is_same(line, other) for other in lines):
            lines.append(line)
    return lines


def _has_margin(line: WrittenLine, width: int) -> bool:
    """Whether a line ends before the frame does."""
    return line.left > LEAST_MARGIN_PX and line.right < width - LEAST_MARGIN_PX


def _is_same(line: WrittenLine, other: WrittenLine) -> bool:
    """Whether the middle of one lies in the other."""
    x, y = (line.left + line.right) / 2, (line.top + line.bottom) / 2
    return other.left <= x <= other.right and other.top <= y <= other.bottom


def _line(
    found: Candidate,
    log_odds: float,
    images: Sequence[StrokeImage],
    shape: tuple[int, int],
) -> WrittenLine:
    """A row with the letters that follow it on both sides, and its pixels."""
    row, scale = found.row, found.image.reduction
    left, right = _grown(row, found.image.strokes.drawn)
    margin = MARGIN * row.letter_height
    box = (left * scale, (row.top - margin) * scale, right * scale, (row.bottom + margin) * scale)
    mask = np.zeros(shape, dtype=np.bool_)
    for image in images:
        # Thin and thick parts of a letter are strokes at different sizes.
        is_fine = row.letter_height * scale >= LETTER_HEIGHT_PX[0] * image.reduction
        if image.light == found.image.light and is_fine:
            _mark(mask, image.strokes.drawn, box, image.reduction)
    return WrittenLine(
        log_odds,
        left * scale,
        row.top * scale,
        min(right * scale, shape[1]),
        min(row.bottom * scale, shape[0]),
        binary_dilation(mask, np.ones((3, 3)), iterations=EDGE_PX),
    )


def _grown(row: Row, drawn: NDArray[np.bool_]) -> tuple[int, int]:
    """Left and right end of a row with the letters that follow it, px of its level."""
    has_strokes = drawn[int(row.top) : math.ceil(row.bottom)].mean(axis=0)
    step = max(1, round(REACH * row.letter_height))
    left, right = int(row.left), math.ceil(row.right)
    for _ in range(MAX_STEPS):
        piece = has_strokes[max(0, left - step) : left]
        if piece.size == 0 or piece.mean() < LEAST_STROKES:
            break
        left = max(0, left - step) + int(np.flatnonzero(piece)[0])
    for _ in range(MAX_STEPS):
        piece = has_strokes[right : right + step]
        if piece.size == 0 or piece.mean() < LEAST_STROKES:
            break
        right += int(np.flatnonzero(piece)[-1]) + 1
    return left, right


def _mark(
    mask: NDArray[np.bool_],
    drawn: NDArray[np.bool_],
    box: tuple[float, float, float, float],
    reduction: int,
) -> None:
    """Mark the strokes of one level within a box, which is in px of the mask."""
    left, top, right, bottom = (side / reduction for side in box)
    rows = slice(max(0, math.floor(top)), max(0, math.ceil(bottom)))
    columns = slice(max(0, math.floor(left)), max(0, math.ceil(right)))
    large = drawn[rows, columns].repeat(reduction, axis=0).repeat(reduction, axis=1)
    first, start = rows.start * reduction, columns.start * reduction
    part = mask[first : first + large.shape[0], start : start + large.shape[1]]
    part |= large[: part.shape[0], : part.shape[1]]
