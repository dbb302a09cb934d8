"""Places in the frame and directions in words with their numbers."""

from __future__ import annotations

from auditor.vocabulary.light import light_words
from auditor.vocabulary.places import place_words
from auditor.wording.numbers import clock, percent


def place_text(x: float, y: float) -> str:
    """Name a place in the frame and give its numbers."""
    return f"{place_words(x, y)}: {percent(x)} across, {percent(y)} down"


def light_text(hours: float) -> str:
    """Give the clock direction and what it means."""
    return f"{clock(hours)}, {light_words(hours)}"


def direction_words(dx: float, dy: float) -> str:
    """Say on which side of one place another lies; `dx`, `dy` in one unit, y downwards.

    A side that is less than half of the other is left out: it would not be what one sees. Empty
    where the two places are one.
    """
    across = ("right of" if dx > 0 else "left of") if abs(dx) * 2 > abs(dy) else ""
    down = ("below" if dy > 0 else "above") if abs(dy) * 2 > abs(dx) else ""
    return " and ".join(part for part in (down, across) if part)
