"""What the subject is called in a sentence, and whether it is sure enough to speak of it."""

from __future__ import annotations

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.marks import LEAST_SURE
from auditor.wording.numbers import certainty

SURE_SUBJECT = 0.7
"""Confidence from which a subject is spoken of as sure (our choice, no source)."""

RATHER_LARGE, SURE_RATHER_LARGE = 0.4, 0.65
"""Share of the frame, and confidence from which something so large is sure: what covers so much is
seldom overlooked (our choice, no source)."""

LARGE, SURE_LARGE = 0.7, 0.9
"""Share of the frame, and confidence from which something so large is one thing: below it was a
tray with many (our choice after looking at pictures, no source)."""

PROBABLE_SUBJECT = LEAST_SURE
"""Confidence from which a subject is named as probable, with its place alone; below it the mark on
the picture says that it is unsure (our choice, no source)."""

SURE_OUTLINE = 0.8
"""Confidence of the subject from which its outline is relied on: for edges of the frame, for a
place on a crossing and for what sets it apart from its ground (our choice, no source)."""


def has_subject(picture: MeasuredPictureRecord) -> bool:
    """Whether there is a subject that is sure enough."""
    area = picture.subject.area_fraction or 0.0
    least = SURE_RATHER_LARGE if area >= RATHER_LARGE else SURE_SUBJECT
    return _reaches(picture, SURE_LARGE if area >= LARGE else least)


def may_have_subject(picture: MeasuredPictureRecord) -> bool:
    """Whether there is a subject that is sure or at least probable."""
    is_large = (picture.subject.area_fraction or 0.0) >= LARGE
    return _reaches(picture, SURE_LARGE if is_large else PROBABLE_SUBJECT)


def has_sure_outline(picture: MeasuredPictureRecord) -> bool:
    """Whether the subject's outline is sure enough to rely on."""
    return has_subject(picture) and _reaches(picture, SURE_OUTLINE)


def _reaches(picture: MeasuredPictureRecord, confidence: float) -> bool:
    subject = picture.subject
    if subject.centroid is None or subject.area_fraction is None or subject.bbox is None:
        return False
    return (subject.confidence or 0.0) >= confidence


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
