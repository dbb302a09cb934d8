"""What the subject is called in a sentence, and whether it is sure enough to speak of it."""

from __future__ import annotations

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.numbers import certainty

SURE_SUBJECT = 0.6
"""Confidence from which a subject is spoken of. Of the pictures looked at, the subject was the one
a viewer names in all above it; below 0.4 it was one of many things."""

LARGE, SURE_LARGE = 0.7, 0.9
"""Share of the frame, and confidence from which something so large is one thing: below it was a
tray with many."""


def has_subject(picture: MeasuredPictureRecord) -> bool:
    """Whether there is a subject that is sure enough."""
    subject = picture.subject
    if subject.centroid is None or subject.area_fraction is None or subject.bbox is None:
        return False
    is_large = subject.area_fraction >= LARGE
    return (subject.confidence or 0.0) >= (SURE_LARGE if is_large else SURE_SUBJECT)


def whole_share(picture: MeasuredPictureRecord) -> float:
    """Share of the frame of the subject, or of the food with its dish."""
    area = picture.subject.area_fraction or 0.0
    if not is_food(picture):
        return area
    return max(area, sum(one.share for one in picture.subject_palette))


def has_sure_place(picture: MeasuredPictureRecord) -> bool:
    """Whether the subject's place may be said: of food off the middle it often is that of a part.

    Food on a full dish is found without its outline; where it seems to lie to one side, reaches the
    edge or has its middle far from that of its box, the finder followed a part of it.
    """
    box, at = picture.subject.bbox, picture.subject.centroid
    if not is_food(picture) or box is None or at is None:
        return True
    left, top, right, bottom = box
    across, down = at[0] - (left + right) / 2, at[1] - (top + bottom) / 2
    is_even = max(abs(across), abs(down)) <= EVEN_FOOD
    is_central = max(abs(at[0] - 1 / 2), abs(at[1] - 1 / 2)) <= CENTRAL_FOOD
    return is_even and is_central


EVEN_FOOD, CENTRAL_FOOD = 0.07, 0.1
"""Of the frame's side: from the middle of the box, and from that of the frame. Chosen by looking at
pictures: where a place off the middle was right, its distance was below the second."""


def is_food(picture: MeasuredPictureRecord) -> bool:
    """Whether the subject is the food alone, without the dish that it lies on."""
    return picture.subject.part == "food"


def noun(picture: MeasuredPictureRecord) -> str:
    """The subject's name: a region has none but what it was found to be."""
    return "the food" if is_food(picture) else "the subject"


def whole_noun(picture: MeasuredPictureRecord) -> str:
    """What tones and colours were measured of: the subject, or the food with its dish."""
    return "the dish" if is_food(picture) else "the subject"


def sure(confidence: float | None) -> str:
    """How sure a figure is; empty where that is not known."""
    return "" if confidence is None else f"{certainty(confidence)} sure"
