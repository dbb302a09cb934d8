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
from auditor.wording.plan_items import difference_text, planned_text
from auditor.wording.positions import dial_text, direction_words, zone_text
from auditor.wording.quantity_names import in_sentence
from auditor.wording.techniques import technique_miss
from auditor.wording.temperature import warmer_words
from auditor.wording.texts import capital, listed


def miss_sentence(item: ItemRecord, picture: MeasuredPictureRecord) -> str:
    """Say what is not as planned."""
    planned, measured = item.planned_value, item.measured_value
    if item.quantity == "technique":
        return technique_miss(item, difference_text(item), picture)
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
            angles = wanted if item.accepts else degrees(_number_of(planned))
            return f"The camera looks from {word} than planned: {degrees(found)}, {angles} planned."
        case Angle(), Angle():
            return (
                f"The dominant diagonal runs at {value_text(item.quantity, measured)}; "
                f"{wanted} was planned."
            )
        case Clock(hours), Clock(found):
            return f"{light_miss(found, wanted if item.accepts else light_named(hours))}."
        case Mired(mired), Mired(found):
            kelvins = wanted if item.accepts else kelvin_from_mired(mired)
            return (
                f"The picture is {warmer_words(off)} than planned: "
                f"{kelvin_from_mired(found)}, {kelvins} planned."
            )
        case Ratio(), Ratio(found):
            return f"The frame is {aspect(found)}; {wanted} was planned."
        case Fraction(), Fraction(found):
            return _share(item, found, wanted)
    return _plainly(item)


def _number_of(value: Value) -> float:
    return value.plain if isinstance(value.plain, float | int) else 0.0


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


def _share(item: ItemRecord, measured: float, wanted: str) -> str:
    is_more = (item.difference or 0.0) > 0
    if item.quantity == "subject_size":
        word = "larger" if is_more else "smaller"
        shares = f"{percent(measured)} of the frame, {wanted} planned"
        return f"The subject is {word} than planned: {shares}."
    word = "More" if is_more else "Less"
    shares = f"{percent(measured)}, {wanted} planned"
    return f"{word} of the frame is left empty than planned: {shares}."


def light_named(hours: float) -> str:
    """A clock position and what it is called."""
    return f"{dial_text(hours)} ({light_words(hours)})"


def light_miss(measured: float, wanted: str) -> str:
    """Say from where the light comes and from where it should; without a full stop."""
    return f"The light comes from {light_named(measured)}; {wanted} was planned"


def _colours(item: ItemRecord, planned: list[str], measured: list[str]) -> str:
    if any(item.named):
        return _named_colours(item, measured)
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


def _named_colours(item: ItemRecord, measured: list[str]) -> str:
    """Colours that the plan names: a region has no single colour to be lighter or redder than."""
    if item.quantity == "palette":
        rows = zip(item.colours, item.named, strict=True)
        worst, words = next(one for one in rows if one[0].difference == item.difference)
        wanted = words or colour_text(worst.planned)
        found = colour_text(worst.nearest)
        return f"The planned {wanted} was not found; nearest is {found} ({difference_text(item)})."
    codes = item.planned if isinstance(item.planned, list) else []
    wanted = " or ".join(
        words or colour_text(str(code)) for code, words in zip(codes, item.named, strict=True)
    )
    named = f"The {in_sentence(item.quantity)} is {colour_text(measured[0])}"
    return f"{named}; {wanted} was planned ({difference_text(item)})."


def _plainly(item: ItemRecord) -> str:
    named = capital(in_sentence(item.quantity, item.element))
    return f"{named} is off by {difference_text(item)}."
