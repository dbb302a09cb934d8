"""One value as a cell of a table: words, numbers and colours."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.values import Angle, Clock, Colours, Count, Fraction, Mired, Place, Ratio, Value, Words
from auditor.vocabulary.camera_angle import camera_words
from auditor.vocabulary.diagonals import diagonal_words
from auditor.wording.colour_names import colour_name
from auditor.wording.numbers import NOTHING, aspect, decimal, degrees, kelvin_from_mired, percent
from auditor.wording.positions import light_text, place_text


@dataclass(frozen=True, slots=True)
class NamedPatch:
    """A colour as a patch with its words; `code` is written small after them."""

    hex: str
    text: str
    code: str = ""


@dataclass(frozen=True, slots=True)
class Cell:
    """Text, colours as patches with their words, or both."""

    text: str
    colours: tuple[NamedPatch, ...] = ()


def colour_text(colour: str) -> str:
    """Name a colour given as ``#rrggbb``, with its code."""
    return f"{colour_name(colour)} {colour}"


def colour_patch(colour: str, after: str = "", *, name: str = "") -> NamedPatch:
    """A colour as a patch: its name, what else is to be said of it, and its code.

    A `name` that the plan gave means a region, so that it has no code.
    """
    if name:
        return NamedPatch(colour, f"{name}{after}")
    return NamedPatch(colour, f"{colour_name(colour)}{after}", colour)


def value_cell(quantity: str, value: Value | None) -> Cell:
    """Write a planned or measured value of a quantity."""
    if value is None:
        return Cell(NOTHING)
    if isinstance(value, Colours):
        return Cell("", tuple(colour_patch(colour) for colour in value.hexes))
    return Cell(value_text(quantity, value))


def value_text(quantity: str, value: Value) -> str:
    """Write a value as text."""
    match value:
        case Place(at):
            return place_text(*at)
        case Angle(deg):
            return _angle_text(quantity, deg)
        case Clock(hours):
            return light_text(hours)
        case Fraction(fraction):
            return percent(fraction)
        case Mired(mired):
            return f"{kelvin_from_mired(mired)} ({decimal(mired, 0)} mired)"
        case Ratio(ratio):
            return aspect(ratio)
        case Colours(hexes):
            return ", ".join(colour_text(colour) for colour in hexes)
        case Words(text):
            return text
        case Count(number):
            return decimal(number, 0)


def _angle_text(quantity: str, deg: float) -> str:
    if quantity == "diagonal":
        return f"{diagonal_words(deg)} ({degrees(deg, signed=True)})"
    return f"{camera_words(deg)} ({degrees(deg)})"
