"""Places in the frame and directions in words with their numbers."""

from __future__ import annotations

import math

from auditor.vocabulary.light import light_words
from auditor.vocabulary.places import place_words
from auditor.wording.numbers import clock, percent

_AFTER_SUBJECT = {
    "behind": "behind the subject",
    "in front": "in front of the subject",
    "beside": "beside the subject",
}
HOURS, QUARTERS, MINUTES = 12.0, 4, 60


def place_text(x: float, y: float) -> str:
    """Name a place in the frame and give its numbers."""
    return f"{place_words(x, y)}: {percent(x)} across, {percent(y)} down"


def zone_text(words: str) -> str:
    """Write the name of a zone of the frame, or of one that is named after the subject."""
    return _AFTER_SUBJECT.get(words, words)


def dial_text(hours: float) -> str:
    """Write a light direction as a dial is read, so that a time has one name only.

    To the quarter hour, and to the minute where the quarter would go by another name.
    """
    quarter = round(hours * QUARTERS) / QUARTERS
    if light_words(quarter % HOURS or HOURS) == light_words(hours):
        return clock(hours)
    minutes = (math.floor(hours * MINUTES), math.ceil(hours * MINUTES))
    same = (m for m in minutes if light_words(m / MINUTES % HOURS or HOURS) == light_words(hours))
    minute = next(same, round(hours * MINUTES))
    return f"{minute // MINUTES % 12 or 12}:{minute % MINUTES:02d}"


def light_text(hours: float) -> str:
    """Give the clock direction and what it means."""
    return f"{dial_text(hours)}, {light_words(hours)}"


def direction_words(dx: float, dy: float) -> str:
    """Say on which side of one place another lies; `dx`, `dy` in one unit, y downwards.

    A side that is less than half of the other is left out: it would not be what one sees. Empty
    where the two places are one.
    """
    across = ("right of" if dx > 0 else "left of") if abs(dx) * 2 > abs(dy) else ""
    down = ("below" if dy > 0 else "above") if abs(dy) * 2 > abs(dx) else ""
    return " and ".join(part for part in (down, across) if part)
