"""What is said of a picture that missed its plan, and of what would help it."""

from __future__ import annotations

from collections.abc import Callable

from auditor.record.picture_record import (
    AdviceRecord,
    ItemRecord,
    MeasuredImageRecord,
)
from auditor.wording.names import (
    SERIES_PREFIX,
    SUPPORTING_PREFIX,
    direction_words,
    in_sentence,
    light_words,
)
from auditor.wording.numbers import (
    aspect,
    clock,
    degrees,
    kelvin_from_mired,
    listed,
    percent,
)
from auditor.wording.planned_colours import ground_sentence, palette_sentence
from auditor.wording.values import (
    amount,
    difference_text,
    position,
    value_cell,
)
from auditor.wording.warmth import shift_words, warmer_words


def miss_sentence(item: ItemRecord, image: MeasuredImageRecord) -> str:
    """Say what is not as planned, in words first and numbers after them."""
    if item.difference is None or item.measured is None:
        return _not_found(item)
    base = "supporting" if item.quantity.startswith(SUPPORTING_PREFIX) else item.quantity
    if isinstance(item.measured, float) and isinstance(item.planned, float):
        say_numbers = NUMBER_SENTENCES.get(base)
        if say_numbers:
            return say_numbers(item.measured, item.planned)
    return SENTENCES.get(base, _plainly)(item, image)


def _not_found(item: ItemRecord) -> str:
    if item.quantity.startswith(SUPPORTING_PREFIX):
        return f"Nothing was found where {in_sentence(item.quantity)} was planned."
    if isinstance(item.measured, str) and isinstance(item.planned, str):
        return _worded(item)
    planned = value_cell(item.quantity, item.planned, item.unit).text
    measured = value_cell(item.quantity, item.measured, item.unit).text
    return f"{_capital(in_sentence(item.quantity))}: {planned} was planned, {measured} found."


def _worded(item: ItemRecord) -> str:
    if item.quantity == "negative_space_side":
        lies = SIDES.get(str(item.measured), str(item.measured))
        return f"The empty space lies {lies}; {item.planned} was planned."
    if item.quantity == "diagonal":
        found = (
            "No diagonal leads the eye"
            if item.measured == "none"
            else (f"The dominant diagonal is {item.measured}")
        )
        return f"{found}; {item.planned} was planned."
    named = _capital(in_sentence(item.quantity))
    return f"{named}: {item.planned} was planned, {item.measured} found."


SIDES = {
    "left": "on the left",
    "right": "on the right",
    "top": "at the top",
    "bottom": "at the bottom",
    "around": "all around the subject",
    "none": "nowhere in particular",
}


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _positions(item: ItemRecord, image: MeasuredImageRecord) -> tuple[float, float] | None:
    """Displacement from the planned to the measured place, in pixels of the full picture."""
    planned, measured = position(item.planned), position(item.measured)
    if planned is None or measured is None:
        return None
    return (measured[0] - planned[0]) * image.width, (measured[1] - planned[1]) * image.height


def _place(item: ItemRecord, image: MeasuredImageRecord) -> str:
    moved = _positions(item, image)
    if moved is None:
        return _plainly(item, image)
    named = "The subject" if item.quantity == "subject" else _capital(in_sentence(item.quantity))
    where = direction_words(*moved)
    return f"{named} sits {where} its planned place, off by {difference_text(item)}."


def _size(measured: float, planned: float) -> str:
    word = "larger" if measured > planned else "smaller"
    shares = f"{percent(measured)} of the frame, {percent(planned)} planned"
    return f"The subject is {word} than planned: {shares}."


def _emptiness(measured: float, planned: float) -> str:
    word = "More" if measured > planned else "Less"
    shares = f"{percent(measured)}, {percent(planned)} planned"
    return f"{word} of the frame is left empty than planned: {shares}."


TECHNIQUE_AIMS = {"centred": "the centre", "symmetry": "the axis of symmetry"}


def _technique(item: ItemRecord, _: MeasuredImageRecord) -> str:
    missed = f"The subject misses {_aim(item.planned)}: off by {difference_text(item)}"
    if isinstance(item.measured, str) and item.measured != item.planned:
        return f"{missed}. It is nearest to {_aim(item.measured)}."
    return f"{missed}."


def _aim(technique: object) -> str:
    return TECHNIQUE_AIMS.get(str(technique), f"the {technique}")


def _camera(measured: float, planned: float) -> str:
    word = "higher" if measured > planned else "lower"
    angles = f"{degrees(measured)}, {degrees(planned)} planned"
    return f"The camera looks from {word} than planned: {angles}."


def _light(measured: float, planned: float) -> str:
    found = f"The light comes from {clock(measured)} ({light_words(measured)})"
    return f"{found}; {clock(planned)} ({light_words(planned)}) was planned."


def _diagonal(item: ItemRecord, _: MeasuredImageRecord) -> str:
    measured = value_cell(item.quantity, item.measured, item.unit).text
    planned = value_cell(item.quantity, item.planned, item.unit).text
    return f"The dominant diagonal runs at {measured}; {planned} was planned."


def _temperature(measured: float, planned: float) -> str:
    kelvins = f"{kelvin_from_mired(measured)}, {kelvin_from_mired(planned)} planned"
    return f"The picture is {warmer_words(measured - planned)} than planned: {kelvins}."


def _palette(item: ItemRecord, image: MeasuredImageRecord) -> str:
    return palette_sentence(item) or _plainly(item, image)


def _ground(item: ItemRecord, image: MeasuredImageRecord) -> str:
    return ground_sentence(item) or _plainly(item, image)


def miss_within_set(item: ItemRecord, deviation: float, centre: float | None) -> str:
    """Say a miss and how it leaves the set, as one; empty where these are not one thing.

    Parameters
    ----------
    item : ItemRecord
        What was missed.
    deviation, centre : float
        Of the picture from the set, and of the set, in the item's unit.
    """
    if not isinstance(item.measured, float) or not isinstance(item.planned, float):
        return ""
    if item.quantity == "colour_temperature":
        off_plan = item.measured - item.planned
        kelvins = f"{kelvin_from_mired(item.measured)}, {kelvin_from_mired(item.planned)} planned"
        from_set = f"{_capital(warmer_words(deviation))} than the rest of the set"
        return f"{from_set}, and {warmer_words(off_plan)} than planned ({kelvins})."
    if item.quantity == "light" and centre is not None:
        plan = _light(item.measured, item.planned).removesuffix(".")
        return f"{plan}, and the rest of the set is lit from {clock(centre)}."
    return ""


def _aspect(measured: float, planned: float) -> str:
    return f"The frame is {aspect(measured)}; {aspect(planned)} was planned."


def _plainly(item: ItemRecord, _: MeasuredImageRecord) -> str:
    return f"{_capital(in_sentence(item.quantity))} is off by {difference_text(item)}."


SENTENCES: dict[str, Callable[[ItemRecord, MeasuredImageRecord], str]] = {
    "subject": _place,
    "supporting": _place,
    "technique": _technique,
    "diagonal": _diagonal,
    "palette": _palette,
    "background": _ground,
    "surface": _ground,
}

NUMBER_SENTENCES: dict[str, Callable[[float, float], str]] = {
    "subject_size": _size,
    "camera_elevation": _camera,
    "light": _light,
    "negative_space": _emptiness,
    "colour_temperature": _temperature,
    "aspect_ratio": _aspect,
}


def advice_sentence(advice: AdviceRecord, image: MeasuredImageRecord) -> str:
    """Say what to do."""
    return ADVICE[advice.kind](advice, image)


def _crop(advice: AdviceRecord, _: MeasuredImageRecord) -> str:
    kept = f"Crop to {percent(advice.amount)} of the frame"
    if advice.crop is None:
        return f"{kept}."
    left, top, right, bottom = advice.crop
    cuts = {"the left": left, "the top": top, "the right": 1 - right, "the bottom": 1 - bottom}
    taken = [f"{percent(cut)} from {side}" for side, cut in cuts.items() if cut > 0]
    return f"{kept}: take {listed(taken)}." if taken else f"{kept}."


def _rotate(advice: AdviceRecord, _: MeasuredImageRecord) -> str:
    way = "clockwise" if advice.amount > 0 else "anticlockwise"
    return f"Turn the picture {degrees(abs(advice.amount), 1)} {way}."


def _warm(advice: AdviceRecord, _: MeasuredImageRecord) -> str:
    return f"{_capital(shift_words(advice.amount, 'the picture'))}."


def _expose(advice: AdviceRecord, _: MeasuredImageRecord) -> str:
    way = "Lighten" if advice.amount > 0 else "Darken"
    return f"{way} the picture by {amount(abs(advice.amount), 'EV')}."


ADVICE: dict[str, Callable[[AdviceRecord, MeasuredImageRecord], str]] = {
    "crop": _crop,
    "rotate": _rotate,
    "colour temperature": _warm,
    "exposure": _expose,
}


def reaches_sentence(reaches: list[str]) -> str:
    """Say what the advice would bring back; empty where it reaches nothing by name."""
    planned = [in_sentence(q) for q in reaches if not q.startswith(SERIES_PREFIX)]
    joined = [
        in_sentence(q.removeprefix(SERIES_PREFIX)) for q in reaches if q.startswith(SERIES_PREFIX)
    ]
    parts = [f"meet the plan in {listed(planned)}"] if planned else []
    if joined:
        parts.append(f"rejoin the set in {listed(joined)}")
    return f"It would then {listed(parts)}." if parts else ""
