"""Sides of the frame: their names, and the outer part of the frame on each."""

from __future__ import annotations

Interval = tuple[float, float]

# The middle fifth of the frame is called the centre: the line of a third, at 0.33, is clearly off
# it, and so is that of the golden ratio, at 0.38 (common practice, no source).
CENTRE_FROM, CENTRE_TO = 0.4, 0.6
# -1 is the near line (left, top), +1 the far line (right, bottom) of a pair.
ACROSS = {"left": -1, "right": 1}
DOWN = {"top": -1, "upper": -1, "bottom": 1, "lower": 1}


def outer(direction: int, depth: float) -> Interval:
    """The outer part of the frame on one side, as fractions of its width or height."""
    return (0.0, depth) if direction < 0 else (1 - depth, 1.0)


def side_words(across: int, down: int) -> str:
    """Name a side or a corner: -1 for the near one, +1 for the far one, 0 for neither."""
    names = {-1: "left", 1: "right"}
    if across and down:
        return f"{'upper' if down < 0 else 'lower'} {names[across]}"
    if across:
        return names[across]
    return {-1: "top", 0: "centre", 1: "bottom"}[down]
