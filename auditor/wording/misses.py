"""What is not as planned in a picture, in words first and numbers after them."""

from __future__ import annotations

from auditor.geometry import Box, Point
from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.record.plan_records import ItemRecord
from auditor.values import (
    Angle,
    Clock,
    Colours,
    Fraction,
    Mired,
    Place,
    Ratio,
    Value,
    Words,
)
from auditor.vocabulary.light import light_words
from auditor.vocabulary.zones import nearest_in
from auditor.wording.cells import colour_text, value_text
from auditor.wording.colour_differences import difference_words, nearest
from auditor.wording.empty_space import SIDES
from auditor.wording.numbers import aspect, degrees, kelvin_from_mired, percent
from auditor.wording.plan_items import difference_text
from auditor.wording.positions import dial_text, direction_words, zone_text
from auditor.wording.quantity_names import in_sentence
from auditor.wording.temperature import warmer_words
from auditor.wording.texts import capital, listed
from auditor.wording.things import absence_miss, number_miss

# What a subject aims at, and what it is near to: a line or one of several points.
TECHNIQUE_AIMS = {"centred": "the centre", "symmetry": "the axis of symmetry"}
TECHNIQUE_PLACES = TECHNIQUE_AIMS | {"golden spiral": "an eye of the golden spiral"}


def miss_sentence(item: ItemRecord, picture: MeasuredPictureRecord) -> str:
    """Say what is not as planned."""
    planned, measured = item.planned_value, item.measured_value
    if item.quantity == "technique":
        return _technique(item)
    if item.quantity == "count":
        return number_miss(item)
    if item.quantity == "without":
        return absence_miss(item)
    if planned is None or measured is None:
        return _not_there(item, planned)
    match planned, measured:
        case Place(wanted), Place(found):
            return _place(item, wanted, found, picture)
        case Colours(wanted_colours), Colours(found_colours):
            return _colours(item, list(wanted_colours), list(found_colours))
        case Words(wanted_word), Words(found_word):
            return _words(item, wanted_word, found_word)
    return _number(item, planned, measured)


def _number(item: ItemRecord, planned: Value, measured: Value) -> str:
    match planned, measured:
        case Angle(wanted), Angle(found) if item.quantity == "camera_elevation":
            return _camera(found, wanted)
        case Angle(), Angle():
            return (
                f"The dominant diagonal runs at {value_text(item.quantity, measured)}; "
                f"{value_text(item.quantity, planned)} was planned."
            )
        case Clock(wanted), Clock(found):
            return f"{light_miss(found, wanted)}."
        case Mired(wanted), Mired(found):
            kelvins = f"{kelvin_from_mired(found)}, {kelvin_from_mired(wanted)} planned"
            return f"The picture is {warmer_words(found - wanted)} than planned: {kelvins}."
        case Ratio(wanted), Ratio(found):
            return f"The frame is {aspect(found)}; {aspect(wanted)} was planned."
        case Fraction(wanted), Fraction(found):
            return _share(item, found, wanted)
    return _plainly(item)


def _not_there(item: ItemRecord, planned: Value | None) -> str:
    if item.element is not None and planned is None:
        return f"No element was found that could be {in_sentence(item.quantity, item.element)}."
    if item.element is not None:
        named = in_sentence(item.quantity, item.element)
        where = "" if item.zone is None else f" ({zone_text(item.zone.words)})"
        return f"Nothing that could be {named} was found at the planned place{where}."
    wanted = "" if planned is None else value_text(item.quantity, planned)
    if item.quantity == "diagonal":
        return f"No diagonal leads the eye; {wanted} was planned."
    named = capital(in_sentence(item.quantity))
    return f"{named}: {wanted} was planned, and it is not there."


def _words(item: ItemRecord, planned: str, measured: str) -> str:
    if item.quantity == "negative_space_side":
        lies = SIDES.get(measured, measured)
        wanted = "no side" if planned == "none" else planned
        return f"The empty space lies {lies}; {wanted} was planned."
    if item.quantity == "diagonal":
        if measured == "none":
            return f"No diagonal leads the eye; {planned} was planned."
        return f"The dominant diagonal is {measured}; {planned} was planned."
    named = capital(in_sentence(item.quantity))
    return f"{named}: {planned} was planned, {measured} found."


def _technique(item: ItemRecord) -> str:
    planned, measured = str(item.planned), None if item.measured is None else str(item.measured)
    if item.difference is None:
        missed, subject = f"The picture shows no {planned}, which was planned.", "The subject"
    else:
        aim = TECHNIQUE_AIMS.get(planned, f"the {planned}")
        missed, subject = f"The subject misses {aim}: off by {difference_text(item)}.", "It"
    if measured in {None, planned}:
        return missed
    place = TECHNIQUE_PLACES.get(str(measured), f"a point of the {measured}")
    return f"{missed} {subject} is near {place}."


def _place(item: ItemRecord, wanted: Point, found: Point, picture: MeasuredPictureRecord) -> str:
    if item.zone is not None:
        boxes = [Box(*box) for box in item.zone.boxes]
        wanted = nearest_in(boxes, found, picture.width, picture.height)
    dx, dy = (found.x - wanted.x) * picture.width, (found.y - wanted.y) * picture.height
    named = (
        "The subject" if item.element is None else capital(in_sentence(item.quantity, item.element))
    )
    where = direction_words(dx, dy)
    off = f"off by {difference_text(item)}"
    if item.zone is not None:
        off = f"{off} ({zone_text(item.zone.words)} was planned)"
    # A colon and no verb: a name may be one thing or many ("the mint leaves").
    if item.element is not None:
        return f"{named}: {where} the planned place, {off}."
    return f"{named} sits {where} its planned place, {off}."


def _share(item: ItemRecord, measured: float, planned: float) -> str:
    if item.quantity == "subject_size":
        word = "larger" if measured > planned else "smaller"
        shares = f"{percent(measured)} of the frame, {percent(planned)} planned"
        return f"The subject is {word} than planned: {shares}."
    word = "More" if measured > planned else "Less"
    shares = f"{percent(measured)}, {percent(planned)} planned"
    return f"{word} of the frame is left empty than planned: {shares}."


def _camera(measured: float, planned: float) -> str:
    word = "higher" if measured > planned else "lower"
    angles = f"{degrees(measured)}, {degrees(planned)} planned"
    return f"The camera looks from {word} than planned: {angles}."


def light_miss(measured: float, planned: float) -> str:
    """Say from where the light comes and from where it should; without a full stop."""
    found = f"The light comes from {dial_text(measured)} ({light_words(measured)})"
    return f"{found}; {dial_text(planned)} ({light_words(planned)}) was planned"


def _colours(item: ItemRecord, planned: list[str], measured: list[str]) -> str:
    pairs = nearest(planned, measured)
    if item.quantity == "palette":
        worst = max(pairs, key=lambda pair: pair.difference)
        missing = f"The planned {colour_text(worst.planned)} was not found"
        words = listed(difference_words(worst.planned, worst.measured))
        found = ", ".join(part for part in (colour_text(worst.measured), words) if part)
        return f"{missing}; nearest is {found} ({difference_text(item)})."
    best = min(pairs, key=lambda pair: pair.difference)
    words = listed(difference_words(best.planned, best.measured))
    if not words:
        return _plainly(item)
    colours = f"{colour_text(best.measured)}, {colour_text(best.planned)} planned"
    named = f"The {in_sentence(item.quantity)}"
    return f"{named} is {words} than planned: {colours} ({difference_text(item)})."


def _plainly(item: ItemRecord) -> str:
    named = capital(in_sentence(item.quantity, item.element))
    return f"{named} is off by {difference_text(item)}."
