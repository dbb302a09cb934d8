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
    """Name a light direction and give its clock position."""
    return f"{light_words(hours)} ({dial_text(hours)})"
