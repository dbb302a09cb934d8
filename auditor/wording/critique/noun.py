"""What the subject is called in a sentence, and whether it is sure enough to speak of it."""

from __future__ import annotations

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.numbers import certainty

SURE_SUBJECT = 0.6
"""Confidence from which a subject is spoken of. Of the pictures looked at, the subject was the one
a viewer names in all above it; below 0.4 it was one of many things."""


def has_subject(picture: MeasuredPictureRecord) -> bool:
    """Whether there is a subject that is sure enough."""
    subject = picture.subject
    return (
        subject.centroid is not None
        and subject.area_fraction is not None
        and subject.bbox is not None
        and (subject.confidence or 0.0) >= SURE_SUBJECT
    )


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
