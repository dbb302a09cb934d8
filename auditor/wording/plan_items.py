"""The row of one planned item: how far off it is, and why it may be undecided."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.quantities import QUANTITIES
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.record.plan_records import ItemRecord, PlannedColourRecord
from auditor.values import Value
from auditor.wording.cells import Cell, NamedPatch, value_cell
from auditor.wording.empty_space import pattern_words
from auditor.wording.numbers import (
    NOTHING,
    SHORT_SUFFIXES,
    amount,
    apart,
    decimal,
    percent,
    scaled,
)
from auditor.wording.positions import zone_text
from auditor.wording.quantity_names import in_sentence
from auditor.wording.things import found_absence, number_off, planned_absence, planned_number

ANYWHERE = "anywhere"
INSIDE = "inside"  # the zone that a place in words means
DOUBTS = {
    "shape": "Something lies there; its shape and size do not show whether it is {}.",
    "covered": "The subject or another thing covers this place; {} may be part of it.",
    "outline": "Something without a clear outline lies there; it may be {}.",
    "small": "Things as small as {} are not looked for one by one.",
    "touching": "Things that touch or overlap are found as one; {} may be there all the same.",
    "others": "More was found than planned; some of it may be something else than {}.",
}
OF_EMPTY_SPACE = {"negative_space", "negative_space_side"}


@dataclass(frozen=True, slots=True)
class Difference:
    """How far off an item is and how far it may be; empty where there is no such number."""

    off: str
    allowed: str


def difference(item: ItemRecord) -> Difference:
    """Write how far off an item is and how much is allowed, never rounded to look the same."""
    if item.quantity == "count":
        return Difference(number_off(item), "")
    if item.difference is None:
        return Difference("", "")
    if item.zone is not None and item.difference == 0:
        return Difference(INSIDE, "")
    if item.tolerance is None:
        return Difference(amount(abs(item.difference), item.unit), "")
    off, digits, suffix = scaled(abs(item.difference), item.unit)
    allowed, _, _ = scaled(item.tolerance, item.unit)
    off_text, allowed_text = apart(off, allowed, digits)
    short = suffix if suffix in SHORT_SUFFIXES else ""
    return Difference(off_text + suffix, f"{allowed_text}{short} allowed")


def difference_text(item: ItemRecord) -> str:
    """The same in one phrase."""
    found = difference(item)
    return f"{found.off}, {found.allowed}" if found.allowed else found.off


def planned_cell(item: ItemRecord) -> Cell:
    """What was planned; a supporting element without a place may be anywhere."""
    if item.quantity == "count":
        return planned_number(item)
    if item.quantity == "without":
        return planned_absence(item)
    if item.planned is None and item.element is not None:
        return Cell(ANYWHERE)
    if item.zone is not None:
        return Cell(zone_text(item.zone.words))
    return value_cell(item.quantity, item.planned_value)


def measured_cell(item: ItemRecord) -> Cell:
    """What was measured; none where it was looked for and is not there."""
    value: Value | None = item.measured_value
    if item.quantity == "technique":
        return _measured_technique(item)
    if item.quantity == "without":
        return found_absence(item)
    if value is None and item.verdict == "missed":
        return Cell("none")
    return value_cell(item.quantity, value)


def _measured_technique(item: ItemRecord) -> Cell:
    """The technique to which the subject is near, and whether the planned one is there at all."""
    if item.difference is not None:
        return Cell("near none" if item.measured is None else str(item.measured))
    if item.measured is not None:
        return Cell(f"no {item.planned}; near: {item.measured}")
    return Cell(f"no {item.planned}" if item.verdict == "missed" else NOTHING)


def matched_colour(colour: PlannedColourRecord) -> NamedPatch:
    """The measured colour that is nearest to a planned one, and how near."""
    distance = f"{decimal(colour.difference, 0)} ΔE₀₀ apart"
    found = "found" if colour.found else "not found"
    share = f"on {percent(colour.share)} of the frame"
    return NamedPatch(
        colour.nearest, f"{found}: {colour.name} {colour.nearest}, {distance}, {share}"
    )


def why_undecided(item: ItemRecord, picture: MeasuredPictureRecord) -> str:
    """Say why an item could not be decided; empty for another verdict."""
    if item.verdict != "undecided":
        return ""
    reasons = picture.reasons
    planned = item.planned if item.quantity == "technique" else None
    if (technique := f"technique_fit: {planned}") in reasons:
        return reasons[technique].message
    own = QUANTITIES[item.quantity].reason_of or item.quantity
    if own in reasons:
        return reasons[own].message
    if item.quantity in OF_EMPTY_SPACE and (words := pattern_words(picture.negative_space)):
        return f"Patterned ground may count as empty or not: {words}."
    if item.doubt:
        return DOUBTS[item.doubt].format(in_sentence(item.quantity, item.element))
    if item.measured is None and item.quantity != "technique":
        return "Nothing was found to measure it by."
    return "The measurement is not sure enough to call it met or missed."
