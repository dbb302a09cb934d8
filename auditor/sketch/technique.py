"""The technique whose lines are drawn in a frame."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import GOLDEN_RATIO
from auditor.sketch.canvas import Canvas
from auditor.sketch.drawn import Guess
from auditor.sketch.ruled_lines import TracedLine, trace_lines
from auditor.vocabulary.techniques import CENTRED, GOLDEN_TRIANGLES

Floats = NDArray[np.float64]

THIRDS, GOLDEN, DIAGONALS = "rule of thirds", "golden ratio", "diagonals"
THIRD_AT, GOLDEN_AT = 1 / 3, 1 - 1 / GOLDEN_RATIO
# One corridor takes both a line of thirds and one of the golden ratio.
PAIR_AT = (THIRD_AT + GOLDEN_AT) / 2
# How far off a line may be drawn, as a share of the frame's longer side: it holds half the way
# between thirds and golden ratio and a hand's error of 3 % (our choice, no source).
CORRIDOR = 0.055
# A line is there if it has ink along this share of it, and along this share of its outer parts,
# which no drawing hides as a rule; or along nearly all of it (chosen on drawn frames).
LEAST_COVERAGE, LEAST_OUTER, FULL_COVERAGE = 0.4, 0.72, 0.85
LEAST_MEAN_COVERAGE = 0.62  # of the lines of one technique
MOST_SPREAD_PX = 6.0  # of a line about a straight one: outlines of things wander
# Spread of the place of a line drawn by hand, as a share of the frame, when four are averaged.
PLACE_SPREAD = 0.009
# In a frame this near a square (logarithm of the aspect ratio) the perpendiculars of the golden
# triangles lie on the other diagonal.
NEARLY_SQUARE = 0.12
BORDER = 0.012  # of the longer side, at the frame's own lines, is left out

# A third line, of golden triangles, says more than the two of the diagonals alone; in mean coverage
# (our choice, no source).
PER_LINE = 0.05
# The lines of each technique, by their names in `_courses`; of golden triangles in both mirrored
# forms.
_LINES_OF = (
    (THIRDS, ("v low", "v high", "h low", "h high")),
    (CENTRED, ("v mid", "h mid")),
    (DIAGONALS, ("falling", "rising")),
    (GOLDEN_TRIANGLES, ("falling", "falling a", "falling b")),
    (GOLDEN_TRIANGLES, ("rising", "rising a", "rising b")),
)


def read_technique(canvas: Canvas) -> Guess[str] | None:
    """Find the lines of a technique; None where there are none."""
    names = list(_courses(canvas))
    ends = np.array(list(_courses(canvas).values()))
    longer = max(canvas.width, canvas.height)
    border = round(BORDER * longer)
    rows, columns = canvas.inside
    within = (
        slice(rows.start + border, rows.stop - border),
        slice(columns.start + border, columns.stop - border),
    )
    inside = np.zeros_like(canvas.faint)
    inside[within] = canvas.faint[within]
    traced = dict(zip(names, trace_lines(inside, ends, CORRIDOR * longer), strict=True))
    return _technique(canvas, traced)


def _courses(canvas: Canvas) -> dict[str, Floats]:
    """Ends of every line that a technique may have, by name."""
    m, w, h = canvas.margin, float(canvas.width), float(canvas.height)
    courses = {}
    for name, at in (("low", PAIR_AT), ("high", 1 - PAIR_AT), ("mid", 0.5)):
        courses[f"v {name}"] = ((at * w, 0.0), (at * w, h))
        courses[f"h {name}"] = ((0.0, at * h), (w, at * h))
    courses["falling"] = ((0.0, 0.0), (w, h))
    courses["rising"] = ((0.0, h), (w, 0.0))
    # The foot of the perpendicular from a corner onto the diagonal that misses it.
    near = w * w / (w * w + h * h)
    courses["falling a"] = ((w, 0.0), (near * w, near * h))
    courses["falling b"] = ((0.0, h), ((1 - near) * w, (1 - near) * h))
    courses["rising a"] = ((0.0, 0.0), ((1 - near) * w, near * h))
    courses["rising b"] = ((w, h), (near * w, (1 - near) * h))
    return {name: np.array(ends) + m for name, ends in courses.items()}


def _technique(canvas: Canvas, traced: dict[str, TracedLine]) -> Guess[str] | None:
    """The technique whose lines are all there."""
    is_nearly_square = abs(math.log(canvas.width / canvas.height)) < NEARLY_SQUARE
    drawn = [
        (name, there)
        for name, lines in _LINES_OF
        if not (is_nearly_square and name == GOLDEN_TRIANGLES)
        and _all_there(there := [traced[line] for line in lines])
    ]
    if not drawn:
        return None
    best, used = max(drawn, key=lambda one: _coverage(one[1]) + PER_LINE * len(one[1]))
    confidence = 0.5 + 0.5 * min(1.0, _coverage(used))
    if best == THIRDS:
        return _thirds_or_golden(canvas, used, confidence)
    return Guess(best, confidence)


def _coverage(lines: list[TracedLine]) -> float:
    return float(np.mean([line.coverage for line in lines]))


def _all_there(lines: list[TracedLine]) -> bool:
    n_there = sum(_is_there(line) for line in lines)
    # One of four lines may be hidden.
    is_enough = n_there >= max(2, len(lines) - (len(lines) == 4))
    return is_enough and _coverage(lines) >= LEAST_MEAN_COVERAGE


def _is_there(line: TracedLine) -> bool:
    if line.spread_px > MOST_SPREAD_PX or line.coverage < LEAST_COVERAGE:
        return False
    return line.outer_coverage >= LEAST_OUTER or line.coverage >= FULL_COVERAGE


def _thirds_or_golden(canvas: Canvas, lines: list[TracedLine], confidence: float) -> Guess[str]:
    """Which of the two by the mean distance of the lines from the nearer border."""
    places = []
    for line in lines:
        if not _is_there(line):
            continue
        x, y = np.median(line.path, axis=0) - canvas.margin
        upright = np.ptp(line.path[:, 1]) > np.ptp(line.path[:, 0])
        at = x / canvas.width if upright else y / canvas.height
        places.append(min(at, 1 - at))
    off = (float(np.mean(places)) - PAIR_AT) / (PLACE_SPREAD * math.sqrt(4 / len(places)))
    right = 0.5 + 0.5 * math.erf(abs(off) / math.sqrt(2))
    return Guess(GOLDEN if off > 0 else THIRDS, confidence * right)
