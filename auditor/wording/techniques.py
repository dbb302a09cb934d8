"""A planned technique in words: what is not as planned, and what a picture shows instead."""

from __future__ import annotations

from auditor.geometry import Point
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.record.plan_records import ItemRecord
from auditor.vocabulary.counts import count
from auditor.vocabulary.techniques import (
    C_CURVE,
    DIAGONAL_ROW,
    LEADING_LINES,
    NEGATIVE_SPACE,
    ODD_NUMBER,
    S_CURVE,
    UNMEASURED_TECHNIQUES,
)
from auditor.wording.everyday import moved_words
from auditor.wording.numbers import NOTHING, percent
from auditor.wording.texts import listed

# What a subject aims at, and what it is near to: a line or one of several points.
TECHNIQUE_AIMS = {"centred": "the centre", "symmetry": "the axis of symmetry"}
TECHNIQUE_PLACES = TECHNIQUE_AIMS | {"golden spiral": "an eye of the golden spiral"}
# Which measurement says why a technique could not be judged.
MEASURED_AS = {
    LEADING_LINES: "leading_lines",
    S_CURVE: "leading_lines",
    C_CURVE: "leading_lines",
    DIAGONAL_ROW: "diagonal",
    NEGATIVE_SPACE: "negative_space",
    ODD_NUMBER: "subject",
}
NOT_MEASURED = "No measurement shows this technique; judge it by eye."
_OR = " or "


def planned_techniques(item: ItemRecord) -> list[str]:
    """The techniques of which any will do."""
    return str(item.planned).split(_OR)


def technique_miss(item: ItemRecord, off: str, picture: MeasuredPictureRecord) -> str:
    """Say which technique the picture lacks, and what it has instead.

    Parameters
    ----------
    item : ItemRecord
    off : str
        How far off it is, in words.
    picture : MeasuredPictureRecord
    """
    techniques = planned_techniques(item)
    measured = None if item.measured is None else str(item.measured)
    if len(techniques) > 1:
        missed, subject = f"The picture shows no {listed_or(techniques)}.", "The subject"
    elif item.difference is not None:
        aim = TECHNIQUE_AIMS.get(techniques[0], f"the {techniques[0]}")
        missed, subject = f"The subject misses {aim}: {off}.", "It"
    else:
        missed, subject = _lacking(techniques[0], picture), "The subject"
    if measured is None or measured in techniques or measured in MEASURED_AS:
        return missed
    place = TECHNIQUE_PLACES.get(measured, f"a point of the {measured}")
    return f"{missed} {subject} is near {place}."


def technique_off(item: ItemRecord, number: str, picture: MeasuredPictureRecord) -> str:
    """Say how far the subject is from where a technique would have it.

    Parameters
    ----------
    item : ItemRecord
    number : str
        The same as a number, with what is allowed.
    picture : MeasuredPictureRecord
    """
    fit = picture.technique_fit.get(planned_techniques(item)[0])
    if fit is None or picture.subject.centroid is None:
        return f"off by {number}"
    aimed, found = Point(*fit.point), Point(*picture.subject.centroid)
    moved = moved_words(aimed, found, picture.width, picture.height)
    return f"{moved} ({number})" if moved else f"off by {number}"


def listed_or(words: list[str]) -> str:
    """Join words of which any would do: ``"a, b or c"``."""
    return listed(words).replace(" and ", _OR)


def _lacking(technique: str, picture: MeasuredPictureRecord) -> str:
    if technique == ODD_NUMBER:
        n = len(picture.elements) + (picture.subject.centroid is not None)
        things = count(n, "thing")
        return f"The picture shows {things}, the subject among them; an odd number was planned."
    if technique == NEGATIVE_SPACE and picture.negative_space.fraction is not None:
        share = percent(picture.negative_space.fraction)
        return f"Only {share} of the frame is empty; negative space was planned."
    return f"The picture shows no {technique}, which was planned."


def measured_technique(item: ItemRecord) -> str:
    """The technique to which the subject is near, and whether the planned one is there at all."""
    wanted = listed_or(planned_techniques(item))
    if item.difference is not None:
        return "near none" if item.measured is None else str(item.measured)
    if item.measured in MEASURED_AS:
        return str(item.measured)
    if item.measured is not None:
        return f"no {wanted}; near: {item.measured}"
    return f"no {wanted}" if item.verdict == "missed" else NOTHING


def why_technique_undecided(item: ItemRecord, picture: MeasuredPictureRecord) -> str:
    """Say why a technique could not be judged; empty where no measurement says so."""
    for technique in planned_techniques(item):
        if technique in UNMEASURED_TECHNIQUES:
            return NOT_MEASURED
        for name in (f"technique_fit: {technique}", MEASURED_AS.get(technique, "")):
            if name in picture.reasons:
                return picture.reasons[name].message
    return ""
