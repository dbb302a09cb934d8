"""What the sheet of a plan says: the words in a drawn frame, and the list beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.accepted import Accepted, AcceptedColour
from auditor.record.plan_records import AcceptedRecord
from auditor.safe_text import one_line
from auditor.values import ValueKind
from auditor.vocabulary.camera_angle import camera_words
from auditor.vocabulary.counts import count
from auditor.vocabulary.diagonals import diagonal_words
from auditor.wording.accepted_texts import accepted_text
from auditor.wording.cells import Cell, colour_patch
from auditor.wording.empty_space import SIDES
from auditor.wording.numbers import aspect, degrees, percent
from auditor.wording.positions import dial_text, light_text, place_text
from auditor.wording.quantity_names import in_sentence, title
from auditor.wording.set_rules import planned_rule_title
from auditor.wording.texts import capital

SUBJECT = "subject"
NOWHERE = "none"  # as a plan says that nothing stays empty
ANYWHERE = "anywhere in the frame"
TAKEN = "taken"
FOR_THE_SET = "For the set"
PICTURE_OF_FRAME = "Frame for the live view (PNG)"
NOTHING_PLANNED = "The plan says nothing of this picture but its name."
NOT_PLANNED = "not planned"
UNTITLED = "Shot plan"
FRAME_DESCRIPTION = "The list beside the drawing says the same in words."
ON_PURPOSE = "On purpose"
EVERYTHING_ELSE = "everything else"
FROM_ABOVE = "from above"
LIGHT_FROM_ABOVE = f"light {FROM_ABOVE}"
PALE_NOTE = "Pale: the place that the plan names in words."
MIRRORED, WILL_DO = "Mirror image", "will do as well"
MIRROR_NOTE = "The mirror image will do as well."


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
    return f"{_numbers(share, ValueKind.FRACTION)} empty"


def subtitle(n_shots: int) -> str:
    """Under the title of the sheet."""
    return f"{count(n_shots, 'planned picture')}. Tick a picture when it is taken."


def rule_line(name: str, asked: str) -> str:
    """A rule for the set: ``"Overhead: at least 2"``."""
    return planned_rule_title(name, asked)


def frame_title(name: str) -> str:
    """Title of the drawing for those who cannot see it."""
    return f"Planned frame: {name}"


def technique_fact(techniques: Sequence[str], drawn: str | None) -> Fact:
    """The techniques, any of which will do, and which of several is drawn."""
    note = f"drawn: {drawn}" if drawn and len(techniques) > 1 else ""
    return Fact(title("technique"), Cell(" or ".join(techniques)), note)


def thing_text(place: str, size: Accepted | None, number: Accepted | None = None) -> str:
    """Where a thing stands, how many there are, and how large it is."""
    parts = [place, "" if number is None else number.words]
    if size is not None:
        parts.append(f"{_named(size, ValueKind.FRACTION)} of the frame")
    return "; ".join(part for part in parts if part)


def subject_fact(text: str) -> Fact:
    """The subject's place and size."""
    return Fact(capital(SUBJECT), Cell(text))


def supporting_fact(number: int, name: str, text: str) -> Fact:
    """A supporting element with its number."""
    return Fact(f"{number}  {name}", Cell(text))


def without_fact(parts: Sequence[tuple[str, str]]) -> Fact:
    """What must not be in the picture: names and places."""
    texts = (name if place == ANYWHERE else f"{name} ({place})" for name, place in parts)
    return Fact("Left out", Cell(", ".join(texts)))


def mirror_fact() -> Fact:
    """That the mirror image will do."""
    return Fact(MIRRORED, Cell(WILL_DO))


def on_purpose_fact(reasons: Sequence[tuple[str, str]]) -> Fact:
    """Why the picture is off its plan on purpose: each reason behind what it is of, if not all."""
    if len(reasons) == 1 and not reasons[0][0]:
        return Fact(ON_PURPOSE, Cell(one_line(reasons[0][1])))
    texts = (f"{one_line(of) or EVERYTHING_ELSE}: {one_line(reason)}" for of, reason in reasons)
    return Fact(ON_PURPOSE, Cell(capital("; ".join(texts))))


def purpose_of(quantities: Sequence[str], element: str | None) -> str:
    """Of what a reason is: an element, what a key plans, or empty for everything that is left."""
    if element is not None or not quantities:
        return element or ""
    return SUBJECT if SUBJECT in quantities else in_sentence(quantities[0])


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
        return Fact(heading, Cell(NOT_PLANNED), f"drawn as seen from {degrees(default_deg)}")
    numbers = _numbers(elevation, ValueKind.ANGLE)
    if elevation.words or not elevation.is_value:
        return Fact(heading, Cell(_named(elevation, ValueKind.ANGLE)))
    return Fact(heading, Cell(f"{camera_words(elevation.nominal)} ({numbers})"))


def light_fact(light: Accepted | None, *, above: bool) -> Fact:
    """Where the light comes from, as a dial is read and in words."""
    parts = []
    if light is not None:
        is_number = light.is_value and not light.words
        parts.append(light_text(light.nominal) if is_number else _named(light, ValueKind.CLOCK))
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
    where = " or ".join(" and ".join(_where_planned(side) for side in one) for one in sides)
    parts = ["" if share is None else _named(share, ValueKind.FRACTION), where]
    return Fact(title("negative_space"), Cell(", ".join(part for part in parts if part)))


def _where_planned(side: str) -> str:
    return NOWHERE if side == NOWHERE else SIDES[side]


def diagonal_fact(direction: str | float) -> Fact:
    """The dominant diagonal."""
    if isinstance(direction, str):
        return Fact(title("diagonal"), Cell(direction))
    text = f"{diagonal_words(direction)}, {degrees(direction, signed=True)}"
    return Fact(title("diagonal"), Cell(text))


def temperature_fact(mired: Accepted) -> Fact:
    """The colour temperature, in kelvin."""
    return Fact(title("colour_temperature"), Cell(_named(mired, ValueKind.MIRED)))


def colours_fact(quantity: str, colours: Sequence[AcceptedColour]) -> Fact:
    """Colours as patches with their names, so that they are known without colour too."""
    patches = (colour_patch(one.hex, name=one.words) for one in colours)
    return Fact(title(quantity), Cell("", tuple(patches)))


def aspect_fact(ratio: Accepted | None, default_ratio: float) -> Fact:
    """Width to height; without a planned one, as what the frame is drawn."""
    heading = title("aspect_ratio")
    if ratio is None:
        return Fact(heading, Cell(NOT_PLANNED), f"drawn as {aspect(default_ratio)}")
    note = "" if ratio.is_value else f"drawn as {aspect(ratio.nominal)}"
    return Fact(heading, Cell(_named(ratio, ValueKind.RATIO)), note)


def files_fact(patterns: Sequence[str]) -> Fact:
    """The patterns for the names of its pictures."""
    return Fact("Files", Cell(", ".join(patterns)))


def numbers_place(x: float, y: float) -> str:
    """A place that was planned in numbers."""
    return place_text(x, y)


def _named(accepted: Accepted, kind: ValueKind) -> str:
    """The plan's own words with what they mean, or the numbers alone."""
    record = AcceptedRecord(words=accepted.words, spans=list(accepted.spans))
    return accepted_text(record, kind)


def _numbers(accepted: Accepted, kind: ValueKind) -> str:
    return accepted_text(AcceptedRecord(words="", spans=list(accepted.spans)), kind)
