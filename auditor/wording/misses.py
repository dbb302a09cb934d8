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
from auditor.vocabulary.zones import nearest_in
from auditor.wording.cells import value_text
from auditor.wording.colour_differences import difference_words, nearest
from auditor.wording.colour_names import colour_name, names_apart
from auditor.wording.empty_space import SIDES
from auditor.wording.everyday import hours_words, moved_words, way_round
from auditor.wording.numbers import aspect, kelvin_from_mired, percent
from auditor.wording.plan_items import difference_text, planned_text
from auditor.wording.positions import light_text, zone_text
from auditor.wording.quantity_names import in_sentence
from auditor.wording.techniques import technique_miss, technique_off
from auditor.wording.temperature import mired_amount, warmer
from auditor.wording.texts import capital, listed
from auditor.wording.things import absence_miss, number_miss


def miss_sentence(item: ItemRecord, picture: MeasuredPictureRecord) -> str:
    """Say what is not as planned."""
    planned, measured = item.planned_value, item.measured_value
    if item.quantity == "technique":
        return technique_miss(item, technique_off(item, difference_text(item), picture), picture)
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
    off = item.difference or 0.0
    wanted = planned_text(item)
    match planned, measured:
        case Angle(), Angle(found) if item.quantity == "camera_elevation":
            word = "higher" if off > 0 else "lower"
            shown = value_text(item.quantity, measured)
            return f"The camera looks from {word} than planned: {shown}; {wanted} was planned."
        case Angle(), Angle():
            return (
                f"The dominant diagonal runs at {value_text(item.quantity, measured)}; "
                f"{wanted} was planned."
            )
        case Clock(), Clock():
            return f"{light_miss(item)}."
        case Mired(mired), Mired(found):
            kelvins = _kelvins(item, found, mired)
            return f"The picture is {warmer(off)} than planned: {kelvins} ({mired_amount(off)})."
        case Ratio(), Ratio(found):
            return f"The frame is {aspect(found)}; {wanted} was planned."
        case Fraction(), Fraction(found):
            return _share(item, found, wanted)
    return _plainly(item)


def _kelvins(item: ItemRecord, measured: float, planned: float) -> str:
    wanted = planned_text(item) if item.accepts else kelvin_from_mired(planned)
    return f"{kelvin_from_mired(measured)}; {wanted} was planned"


def temperature_misses(item: ItemRecord, measured: float, planned: float, deviation: float) -> str:
    """Say how a picture differs from the rest of the set and from its plan, all in mired."""
    off = item.difference or 0.0
    word = "" if (off > 0) == (deviation > 0) else f"{warmer(off)} "
    from_set = f"{capital(warmer(deviation))} than the rest of the set ({mired_amount(deviation)})"
    from_plan = f"{word}than planned ({mired_amount(off)})"
    return f"{from_set} and {from_plan}: {_kelvins(item, measured, planned)}."


def _not_there(item: ItemRecord, planned: Value | None) -> str:
    if item.element is not None and planned is None:
        return f"No element was found that could be {in_sentence(item.quantity, item.element)}."
    if item.element is not None:
        named = in_sentence(item.quantity, item.element)
        where = "" if item.zone is None else f" ({zone_text(item.zone.words)})"
        return f"Nothing that could be {named} was found at the planned place{where}."
    wanted = planned_text(item)
    if item.quantity == "diagonal":
        return f"No diagonal leads the eye; {wanted} was planned."
    named = capital(in_sentence(item.quantity))
    return f"{named}: {wanted} was planned, and it is not there."


def _words(item: ItemRecord, planned: str, measured: str) -> str:
    if item.quantity == "negative_space_side":
        lies = SIDES.get(measured, measured)
        wanted = "none" if planned == "none" else planned
        return f"The empty space lies {lies}; {wanted} was planned."
    if item.quantity == "diagonal":
        if measured == "none":
            return f"No diagonal leads the eye; {planned} was planned."
        return f"The dominant diagonal is {measured}; {planned} was planned."
    named = capital(in_sentence(item.quantity))
    return f"{named}: {planned} was planned, {measured} found."


def _place(item: ItemRecord, wanted: Point, found: Point, picture: MeasuredPictureRecord) -> str:
    if item.zone is not None:
        boxes = [Box(*box) for box in item.zone.boxes]
        wanted = nearest_in(boxes, found, picture.width, picture.height)
    moved = moved_words(wanted, found, picture.width, picture.height)
    zone = f"; {zone_text(item.zone.words)} was planned" if item.zone is not None else ""
    off = f"({difference_text(item)}{zone})"
    # A colon and no verb: a name may be one thing or many ("the mint leaves").
    if item.element is not None:
        named = capital(in_sentence(item.quantity, item.element))
        return f"{named}: {moved} {off}."
    return f"The subject sits {moved} {off}."


def _share(item: ItemRecord, measured: float, wanted: str) -> str:
    is_more = (item.difference or 0.0) > 0
    if item.quantity == "subject_size":
        word = "larger" if is_more else "smaller"
        shares = f"{percent(measured)} of the frame, {wanted} planned"
        return f"The subject is {word} than planned: {shares}."
    word = "More" if is_more else "Less"
    shares = f"{percent(measured)}, {wanted} planned"
    return f"{word} of the frame is left empty than planned: {shares}."


def light_miss(item: ItemRecord) -> str:
    """Say which way and how far round the dial the light is off; without a full stop."""
    planned, measured = item.planned_value, item.measured_value
    if not isinstance(planned, Clock) or not isinstance(measured, Clock):
        raise TypeError("the light is no clock position")
    off = item.difference or 0.0
    # From the nearest end of what was planned; a difference is positive clockwise.
    side = way_round(measured.hours - off, measured.hours)
    far = f"about {hours_words(abs(off))} of the clock dial"
    wanted = planned_text(item) if item.accepts else light_text(planned.hours)
    found = light_text(measured.hours)
    if not side:
        return f"The light comes from elsewhere: {found}; {wanted} was planned"
    return f"The light is {far} too far round to {side}: {found}; {wanted} was planned"


def _colours(item: ItemRecord, planned: list[str], measured: list[str]) -> str:
    if any(item.named):
        return _named_colours(item, measured)
    pairs = nearest(planned, measured)
    if item.quantity == "palette":
        worst = max(pairs, key=lambda pair: pair.difference)
        wanted, nearest_one = names_apart(worst.planned, worst.measured)
        words = listed(difference_words(worst.planned, worst.measured))
        found = ", ".join(part for part in (nearest_one, words) if part)
        missing = f"The planned {wanted} was not found"
        return f"{missing}; nearest is {found} ({difference_text(item)})."
    best = min(pairs, key=lambda pair: pair.difference)
    words = listed(difference_words(best.planned, best.measured))
    if not words:
        return _plainly(item)
    wanted, found = colour_name(best.planned), colour_name(best.measured)
    if wanted == found:
        named = in_sentence(item.quantity)
        return f"The {named} is {words} than planned; both are {found} ({difference_text(item)})."
    colours = f"{found}; {wanted} was planned"
    named = f"The {in_sentence(item.quantity)}"
    return f"{named} is {words} than planned: {colours} ({difference_text(item)})."


def _named_colours(item: ItemRecord, measured: list[str]) -> str:
    """Colours that the plan names: a region has no single colour to be lighter or redder than."""
    if item.quantity == "palette":
        rows = zip(item.colours, item.named, strict=True)
        worst, words = next(one for one in rows if one[0].difference == item.difference)
        wanted, found = words or colour_name(worst.planned), colour_name(worst.nearest)
        return f"The planned {wanted} was not found; nearest is {found} ({difference_text(item)})."
    codes = item.planned if isinstance(item.planned, list) else []
    wanted = " or ".join(
        words or colour_name(str(code)) for code, words in zip(codes, item.named, strict=True)
    )
    named = f"The {in_sentence(item.quantity)} is {colour_name(measured[0])}"
    return f"{named}; {wanted} was planned ({difference_text(item)})."


def _plainly(item: ItemRecord) -> str:
    named = capital(in_sentence(item.quantity, item.element))
    return f"{named} is off by {difference_text(item)}."
