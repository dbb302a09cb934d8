"""What the sheet of a plan says: the words in a drawn frame, and the list beside it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from auditor.accepted import Accepted, AcceptedColour, Span
from auditor.vocabulary.camera_angle import camera_words
from auditor.vocabulary.counts import count
from auditor.vocabulary.diagonals import diagonal_words
from auditor.wording.cells import Cell, NamedPatch, colour_text
from auditor.wording.empty_space import SIDES
from auditor.wording.numbers import aspect, degrees, kelvin_from_mired, percent
from auditor.wording.positions import dial_text, light_text, place_text
from auditor.wording.quantity_names import title

SUBJECT = "subject"
ANYWHERE = "anywhere in the frame"
TAKEN = "taken"
FROM_ABOVE = "from above"
LIGHT_FROM_ABOVE = f"light {FROM_ABOVE}"
FILES = "Files"
PICTURE_OF_FRAME = "Frame for the live view (PNG)"
NOTHING_PLANNED = "The plan says nothing of this picture but its name."
UNTITLED = "Shot plan"
FRAME_DESCRIPTION = "The list beside the drawing says the same in words."


@dataclass(frozen=True, slots=True)
class Fact:
    """A row of the list beside a frame; `note` says what the plan leaves open."""

    title: str
    cell: Cell
    note: str = ""


def light_label(hours: float) -> str:
    """The light's word in the frame."""
    return f"light {dial_text(hours)}"


def empty_label(share: Accepted) -> str:
    """The word for the share of the frame that stays empty."""
    return f"{_spans(share, percent)} empty"


def subtitle(n_shots: int) -> str:
    """Under the title of the sheet."""
    return f"{count(n_shots, 'planned picture')}. Tick a picture when it is taken."


def frame_title(name: str) -> str:
    """Title of the drawing for those who cannot see it."""
    return f"Planned frame: {name}"


def technique_fact(techniques: Sequence[str], drawn: str | None) -> Fact:
    """The techniques, any of which will do, and which of several is drawn."""
    note = f"drawn: {drawn}" if drawn and len(techniques) > 1 else ""
    return Fact(title("technique"), Cell(" or ".join(techniques)), note)


def thing_text(place: str, size: Accepted | None) -> str:
    """Where a thing stands, and how large it is."""
    parts = [place]
    if size is not None:
        parts.append(f"{_named(size, percent)} of the frame")
    return "; ".join(part for part in parts if part)


def subject_fact(place: str, size: Accepted | None) -> Fact:
    """The subject's place and size."""
    return Fact("Subject", Cell(thing_text(place, size)))


def supporting_fact(number: int, name: str, text: str) -> Fact:
    """A supporting element with its number."""
    return Fact(f"{number}  {name}", Cell(text))


def pale_note() -> str:
    """Explains the pale areas."""
    return "Pale: the place that the plan names in words."


def dashed_note(subject_size: float | None, supporting_size: float | None) -> str:
    """Explains dashed outlines by the sizes at which they are drawn, or None for none."""
    parts = []
    if subject_size is not None:
        parts.append(f"a subject at {percent(subject_size)}")
    if supporting_size is not None:
        parts.append(f"a supporting element at {percent(supporting_size)}")
    return f"Dashed: size not planned; drawn is {' and '.join(parts)} of the frame or less."


def camera_fact(elevation: Accepted | None, default_deg: float) -> Fact:
    """The camera angle; without one, as what the things are drawn."""
    heading = title("camera_elevation")
    if elevation is None:
        return Fact(
            heading, Cell("not planned"), f"ovals drawn as seen from {degrees(default_deg)}"
        )
    words = elevation.words or camera_words(elevation.nominal)
    return Fact(heading, Cell(f"{words}, {_spans(elevation, degrees)}"))


def light_fact(light: Accepted | None, *, above: bool) -> Fact:
    """Where the light comes from, as a dial is read and in words."""
    parts = []
    if light is not None:
        parts.append(
            light_text(light.nominal)
            if light.is_value and not light.words
            else _named(light, dial_text)
        )
    if above:
        parts.append(FROM_ABOVE)
    return Fact(title("light"), Cell(" or ".join(parts)))


def empty_fact(share: Accepted | None, sides: Sequence[Sequence[str]]) -> Fact:
    """How much of the frame stays empty, and where.

    Parameters
    ----------
    share : Accepted or None
    sides : sequence of sequence of str
        Any one of these will do; a corner is two sides at once.
    """
    where = " or ".join(" and ".join(SIDES[side] for side in one) for one in sides)
    parts = [_named(share, percent) if share is not None else "", where]
    return Fact(title("negative_space"), Cell(", ".join(part for part in parts if part)))


def diagonal_fact(direction: str | float) -> Fact:
    """The dominant diagonal."""
    if isinstance(direction, str):
        return Fact(title("diagonal"), Cell(direction))
    text = f"{diagonal_words(direction)}, {degrees(direction, signed=True)}"
    return Fact(title("diagonal"), Cell(text))


def temperature_fact(mired: Accepted) -> Fact:
    """The colour temperature, in kelvin."""
    spans = tuple((high, low) for low, high in mired.spans)  # more mired is less kelvin
    text = _named(Accepted(mired.nominal, spans, mired.words), kelvin_from_mired)
    return Fact(title("colour_temperature"), Cell(text))


def colours_fact(quantity: str, colours: Sequence[AcceptedColour]) -> Fact:
    """Colours as patches with their names, so that they are known without colour too."""
    patches = (NamedPatch(one.hex, one.words or colour_text(one.hex)) for one in colours)
    return Fact(title(quantity), Cell("", tuple(patches)))


def aspect_fact(ratio: Accepted | None, default_ratio: float) -> Fact:
    """Width to height; without a planned one, as what the frame is drawn."""
    if ratio is None:
        return Fact(title("aspect_ratio"), Cell("not planned"), f"drawn as {aspect(default_ratio)}")
    return Fact(title("aspect_ratio"), Cell(_named(ratio, aspect)))


def files_fact(patterns: Sequence[str]) -> Fact:
    """The patterns for the names of its pictures."""
    return Fact(FILES, Cell(", ".join(patterns)))


def numbers_place(x: float, y: float) -> str:
    """A place that was planned in numbers."""
    return place_text(x, y)


def _named(accepted: Accepted, written: Callable[[float], str]) -> str:
    """The plan's own words with what they mean, or the numbers alone."""
    numbers = _spans(accepted, written)
    has_words = accepted.words and accepted.words != numbers
    return f"{accepted.words}, {numbers}" if has_words else numbers


def _spans(accepted: Accepted, written: Callable[[float], str]) -> str:
    return " or ".join(_span(span, written) for span in accepted.spans)


def _span(span: Span, written: Callable[[float], str]) -> str:
    first, last = written(span[0]), written(span[1])
    return first if first == last else f"{first} to {last}"
