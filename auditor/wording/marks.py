"""Words for what is drawn over a picture: titles of layers, and the drawing described."""

from __future__ import annotations

from collections.abc import Iterator

from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.values import Clock, Place
from auditor.wording.additions import additions_sentence
from auditor.wording.mixed_light import mixed_light_words
from auditor.wording.numbers import degrees, tilt_text
from auditor.wording.plan_items import planned_text
from auditor.wording.positions import light_text, place_text, zone_text
from auditor.wording.texts import capital, listed

LAYER_TITLES = {
    "subject": "Subject",
    "supporting": "Supporting elements",
    "light": "Light",
    "technique": "Technique",
    "diagonal": "Diagonal",
    "leading": "Leading lines",
    "rims": "Rims and boards",
    "level": "Tilt",
    "space": "Empty space",
    "focus": "Sharpest point",
    "lights": "Mixed light",
    "additions": "Border and writing",
}

SUBJECT_LABEL = "subject"  # at the subject, in the picture
UNSURE = "{}, unsure"
LEAST_SURE = 0.5  # below it the subject is more likely another one than this

DIAL_WORDS = ("behind", "right", "camera", "left")  # around the dial from 12, the camera at 6


def subject_label(picture: MeasuredPictureRecord) -> str:
    """What stands at the subject that was found."""
    is_sure = (picture.subject.confidence or 0.0) >= LEAST_SURE
    return SUBJECT_LABEL if is_sure else UNSURE.format(SUBJECT_LABEL)


def no_subject_sentence(picture: MeasuredPictureRecord) -> str:
    """Why no subject is marked; empty where one is."""
    if picture.subject.centroid is not None:
        return ""
    reason = picture.reasons.get("subject")
    return f"No subject is marked. {reason.message if reason else ''}".strip()


def describe_marks(picture: MeasuredPictureRecord) -> str:
    """Describe the drawing over a picture for those who cannot see it."""
    sentences = [*_things(picture), *_geometry(picture), *_light(picture)]
    return " ".join(sentences) or "Nothing could be marked in this picture."


def _things(picture: MeasuredPictureRecord) -> Iterator[str]:
    items = picture.plan.items if picture.plan else []
    if picture.subject.centroid is not None:
        yield f"Subject measured at {place_text(*picture.subject.centroid)}."
    for item in items:
        planned = item.planned_value
        if item.quantity == "subject" and isinstance(planned, Place):
            where = place_text(*planned.at) if item.zone is None else zone_text(item.zone.words)
            yield f"Subject planned at {where}."
    if picture.elements:
        yield f"Supporting elements found: {len(picture.elements)}."
    if added := additions_sentence(picture):
        yield added
    named = [
        item.element
        for item in items
        if item.element and item.planned is not None and item.quantity != "without"
    ]
    if named:
        yield f"Planned: {listed(named)}."
    left_out = [item.element for item in items if item.element and item.quantity == "without"]
    if left_out:
        yield f"To be left out: {listed(left_out)}."
    for item in items:
        taken = item.measured_value
        if item.match is not None and isinstance(taken, Place):
            is_sure = item.verdict != "undecided"
            words = "Taken to be" if is_sure else "Perhaps"
            yield f"{words} {item.element}: what lies at {place_text(*taken.at)}."


def _geometry(picture: MeasuredPictureRecord) -> Iterator[str]:
    if picture.camera_elevation.deg is not None:
        yield f"Seen from {degrees(picture.camera_elevation.deg)} above the table."
    if picture.roll.deg is not None:
        yield f"Tilt {tilt_text(picture.roll.deg)}."
    if picture.diagonal is not None:
        yield f"A diagonal of {degrees(picture.diagonal.angle_deg)}."


def _light(picture: MeasuredPictureRecord) -> Iterator[str]:
    hours = picture.light.clock
    if hours is not None:
        yield f"Light measured from {light_text(hours)}."
    for item in picture.plan.items if picture.plan else []:
        if item.quantity == "light" and isinstance(item.planned_value, Clock):
            yield f"Light planned from {planned_text(item)}."
    if mixed := mixed_light_words(picture.colour_temperature):
        yield f"{capital(mixed)}."
