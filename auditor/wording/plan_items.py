"""The row of one planned item: how far off it is, and why it may be undecided."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.quantities import QUANTITIES
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.record.plan_records import ItemRecord, PlannedColourRecord
from auditor.values import Colours, Value
from auditor.wording.accepted_texts import accepted_text
from auditor.wording.cells import Cell, NamedPatch, colour_patch, value_cell, value_text
from auditor.wording.empty_space import pattern_words
from auditor.wording.numbers import (
    SHORT_SUFFIXES,
    amount,
    apart,
    decimal,
    percent,
    scaled,
)
from auditor.wording.positions import zone_text
from auditor.wording.quantity_names import in_sentence
from auditor.wording.techniques import measured_technique, why_technique_undecided
from auditor.wording.things import found_absence, number_off, planned_absence, planned_number

ANYWHERE = "anywhere"
INSIDE = "inside"  # the zone or the range that words mean
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
    is_range = item.zone is not None or item.accepts is not None or any(item.named)
    if is_range and item.difference == 0:
        return Difference(INSIDE, "")
    if item.difference == 0:
        return Difference("nothing", "")
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
    value = item.planned_value
    if isinstance(value, Colours) and item.named:
        named = zip(value.hexes, item.named, strict=True)
        return Cell("", tuple(colour_patch(one, name=words) for one, words in named))
    if item.zone is None and item.accepts is None:
        return value_cell(item.quantity, value)
    return Cell(planned_text(item))


def planned_text(item: ItemRecord) -> str:
    """What was planned, as text: a zone or a range by its words, with its numbers."""
    if item.zone is not None:
        return zone_text(item.zone.words)
    if item.accepts is not None:
        return accepted_text(item.accepts, item.kind)
    value = item.planned_value
    return "" if value is None else value_text(item.quantity, value)


def measured_cell(item: ItemRecord) -> Cell:
    """What was measured; none where it was looked for and is not there."""
    value: Value | None = item.measured_value
    if item.quantity == "technique":
        return Cell(measured_technique(item))
    if item.quantity == "without":
        return found_absence(item)
    if value is None and item.verdict == "missed":
        return Cell("none")
    return value_cell(item.quantity, value)


def matched_colour(colour: PlannedColourRecord) -> NamedPatch:
    """The measured colour that is nearest to a planned one, and how near."""
    distance = f"{decimal(colour.difference, 0)} ΔE₀₀ apart"
    found = "found" if colour.found else "not found"
    share = f"on {percent(colour.share)} of the frame"
    named = colour_patch(colour.nearest)
    return NamedPatch(colour.nearest, f"{found}: {named.text}, {distance}, {share}", named.code)


def why_undecided(item: ItemRecord, picture: MeasuredPictureRecord) -> str:
    """Say why an item could not be decided; empty for another verdict."""
    if item.verdict != "undecided":
        return ""
    reasons = picture.reasons
    if item.quantity == "technique" and (why := why_technique_undecided(item, picture)):
        return why
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
