"""Numbers of things and what must not be there, in words."""

from __future__ import annotations

from auditor.record.plan_records import ItemRecord
from auditor.values import Place
from auditor.vocabulary.how_many import leading_number
from auditor.wording.cells import Cell
from auditor.wording.numbers import NOTHING, decimal
from auditor.wording.positions import place_text, zone_text
from auditor.wording.quantity_names import in_sentence
from auditor.wording.texts import capital

LEFT_OUT = "left out"


def planned_number(item: ItemRecord) -> Cell:
    """How many things were planned, and where."""
    where = "" if item.zone is None else f", {zone_text(item.zone.words)}"
    return Cell(_asked(item) + where)


def planned_absence(item: ItemRecord) -> Cell:
    """Where something must not be."""
    if item.zone is not None:
        return Cell(f"{LEFT_OUT}, {zone_text(item.zone.words)}")
    where = item.planned_value
    return Cell(f"{LEFT_OUT}, {place_text(*where.at)}" if isinstance(where, Place) else LEFT_OUT)


def found_absence(item: ItemRecord) -> Cell:
    """Where something lies that must not be there, or may be it."""
    where = item.measured_value
    if isinstance(where, Place):
        return Cell(place_text(*where.at))
    return Cell("none found" if item.verdict == "met" else NOTHING)


def one_of_several(item: ItemRecord) -> str:
    """What is counted, without its number."""
    name = item.element or ""
    found = leading_number(name)
    return name if found is None else found[1]


def number_off(item: ItemRecord) -> str:
    """How many too many or too few were found."""
    off = item.difference or 0.0
    if off == 0:
        return ""
    return f"{decimal(abs(off), 0)} too {'many' if off > 0 else 'few'}"


def number_miss(item: ItemRecord) -> str:
    """Say that too many things were found, or too few."""
    named = capital(str(item.element))
    where = "" if item.zone is None else f" ({zone_text(item.zone.words)})"
    found = decimal(float(str(item.measured)), 0)
    return f"{named}: {found} found{where}, {_asked(item)} planned."


def absence_miss(item: ItemRecord) -> str:
    """Say where something lies that must not be there."""
    where, named = item.measured_value, in_sentence(item.quantity, item.element)
    if not isinstance(where, Place):
        return f"Something that may be {named} is there, which was to be left out."
    return f"What lies at {place_text(*where.at)} looks like {named}, which was to be left out."


def _asked(item: ItemRecord) -> str:
    if item.accepts is not None and item.accepts.words:
        return item.accepts.words
    return decimal(float(str(item.planned)), 0)
