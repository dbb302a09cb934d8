"""Space that is meant to stay empty: hatched, or left free on one side of everything drawn."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy import ndimage

from auditor.sketch.canvas import Canvas
from auditor.sketch.drawn import Guess
from auditor.sketch.grouping import Thing
from auditor.sketch.hatching import Hatching
from auditor.vocabulary.sides import Side

HATCHED_CONFIDENCE, FREE_CONFIDENCE = 0.85, 0.4
# A side is meant to be empty if this share of the frame along it is free, and so many times more
# than along the next (our choice: a subject on a line of thirds alone leaves less).
LEAST_FREE, TIMES_NEXT = 0.45, 1.8
AROUND_SHARE = 0.02  # of the diagonal around a thing is not empty
AROUND_MIDDLE = 0.12  # a hatched area whose middle is this near to the frame's lies around it


def read_empty_space(
    canvas: Canvas, hatching: Hatching | None, things: Sequence[Thing]
) -> tuple[Guess[float], Guess[Side]] | None:
    """Share of the frame that stays empty and the side on which; None where nothing says so."""
    if hatching is not None:
        area = hatching.area[canvas.inside]
        rows, columns = np.nonzero(area)
        x, y = columns.mean() / canvas.width - 0.5, rows.mean() / canvas.height - 0.5
        return (
            Guess(float(area.mean()), HATCHED_CONFIDENCE),
            Guess(_side_of(float(x), float(y)), HATCHED_CONFIDENCE),
        )
    return _left_free(canvas, things)


def _side_of(x: float, y: float) -> Side:
    if max(abs(x), abs(y)) < AROUND_MIDDLE:
        return "around"
    if abs(x) >= abs(y):
        return "left" if x < 0 else "right"
    return "top" if y < 0 else "bottom"


def _left_free(canvas: Canvas, things: Sequence[Thing]) -> tuple[Guess[float], Guess[Side]] | None:
    """What is left free where it is by far most on one side."""
    if not things:
        return None
    taken = np.any([thing.filled for thing in things], axis=0)
    reach = AROUND_SHARE * canvas.diagonal
    free = (ndimage.distance_transform_edt(~taken) > reach)[canvas.inside]
    rows, columns = np.flatnonzero(~free.all(axis=1)), np.flatnonzero(~free.all(axis=0))
    if not rows.size:
        return None
    strips: dict[Side, float] = {
        "left": float(columns[0]) / canvas.width,
        "right": 1 - float(columns[-1] + 1) / canvas.width,
        "top": float(rows[0]) / canvas.height,
        "bottom": 1 - float(rows[-1] + 1) / canvas.height,
    }
    (side, most), (_, second) = sorted(strips.items(), key=lambda strip: -strip[1])[:2]
    if most < LEAST_FREE or most < TIMES_NEXT * second:
        return None
    return Guess(float(free.mean()), FREE_CONFIDENCE), Guess(side, FREE_CONFIDENCE)
