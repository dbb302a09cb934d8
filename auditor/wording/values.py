"""One planned or measured value as a cell of a table: words, numbers and colours."""

from __future__ import annotations

import re
from dataclasses import dataclass

from auditor.record.picture_record import ItemRecord
from auditor.wording.names import camera_words, diagonal_words, light_text, place_text
from auditor.wording.numbers import (
    NOTHING,
    apart,
    aspect,
    decimal,
    degrees,
    kelvin_from_mired,
    listed,
    percent,
)

Value = float | str | list[float] | list[str] | None
HEX_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


@dataclass(frozen=True, slots=True)
class NamedPatch:
    """A colour as a patch with what is said of it."""

    hex: str
    text: str


@dataclass(frozen=True, slots=True)
class Cell:
    """Text; or colours as patches with their codes, or with what is said of each."""

    text: str
    colours: tuple[str, ...] = ()
    named: tuple[NamedPatch, ...] = ()


def value_cell(quantity: str, value: Value, unit: str) -> Cell:
    """Write a value of a planned item."""
    if value is None:
        return Cell(NOTHING)
    if isinstance(value, list):
        return _list_cell(value)
    if isinstance(value, str):
        return _colours_cell([value])
    return Cell(_number_text(quantity, value, unit))


def _list_cell(value: list[float] | list[str]) -> Cell:
    place = position(value)
    if place is not None:
        return Cell(place_text(*place))
    numbers = [decimal(part, 2) for part in value if not isinstance(part, str)]
    return Cell(", ".join(numbers)) if numbers else _colours_cell([str(part) for part in value])


def position(value: Value) -> tuple[float, float] | None:
    """A value as a position; None where it is anything else."""
    if not isinstance(value, list):
        return None
    match [part for part in value if isinstance(part, float)]:
        case [x, y] if len(value) == len((x, y)):
            return x, y
    return None


def colours_of(value: Value) -> list[str]:
    """A value as colours; empty where it is anything else."""
    words = [str(part) for part in (value if isinstance(value, list) else [value])]
    return words if all(HEX_COLOUR.fullmatch(word) for word in words) else []


def _colours_cell(words: list[str]) -> Cell:
    """Colours are shown as patches; whatever is no colour stays text."""
    if words and all(HEX_COLOUR.fullmatch(word) for word in words):
        return Cell(" ".join(words), tuple(words))
    return Cell(listed(words) or NOTHING)


def _number_text(quantity: str, value: float, unit: str) -> str:
    if unit == "deg" and quantity == "camera_elevation":
        return f"{degrees(value)}, {camera_words(value)}"
    if unit == "deg" and quantity == "diagonal":
        return f"{degrees(value, signed=True)}, {diagonal_words(value)}"
    if unit == "h":
        return light_text(value)
    if unit == "mired":
        return f"{kelvin_from_mired(value)} ({decimal(value, 0)} mired)"
    if unit == "fraction of diagonal":
        return f"{decimal(value, 2)} of the diagonal away"
    if unit == "ratio":
        return aspect(value)
    return amount(value, unit)


def amount(value: float, unit: str, *, signed: bool = False) -> str:
    """Write a number with its unit."""
    if unit == "fraction of frame" and not signed:
        return percent(value)
    scaled, digits, suffix = _scaled(value, unit)
    return decimal(scaled, digits, signed=signed) + suffix


def _scaled(value: float, unit: str) -> tuple[float, int, str]:
    """Bring a value to the scale that people read: value, decimals, what follows it."""
    scale, digits, suffix = UNIT_STYLES.get(unit, (1, 2, f" {unit}" if unit else ""))
    return value * scale, digits, suffix


SHORT_SUFFIXES = ("%", "°")
UNIT_STYLES: dict[str, tuple[int, int, str]] = {
    "fraction of frame": (100, 0, "%"),
    "fraction of diagonal": (1, 2, " of the diagonal"),
    "deg": (1, 0, "°"),
    "deg of tilt": (1, 1, "°"),
    "h": (30, 0, "°"),  # round the table: as hours it would read as a time
    "mired": (1, 0, " mired"),
    "CIEDE2000": (1, 0, " ΔE₀₀"),
    "ratio": (1, 2, ""),
    "EV": (1, 1, " EV"),
    "L*": (1, 0, " L*"),
    "C*": (1, 0, " C*"),
    "Duv": (1, 3, " Duv"),
}


@dataclass(frozen=True, slots=True)
class Difference:
    """How far off an item is and how far it may be; empty where there is no such number."""

    off: str
    allowed: str


def difference(item: ItemRecord) -> Difference:
    """Write how far off an item is and how much is allowed, never rounded to look the same."""
    if item.difference is None:
        return Difference("", "")
    if item.tolerance is None:
        return Difference(amount(abs(item.difference), item.unit), "")
    off, digits, suffix = _scaled(abs(item.difference), item.unit)
    allowed, _, _ = _scaled(item.tolerance, item.unit)
    off_text, allowed_text = apart(off, allowed, digits)
    short = suffix if suffix in SHORT_SUFFIXES else ""
    return Difference(off_text + suffix, f"{allowed_text}{short} allowed")


def difference_text(item: ItemRecord) -> str:
    """The same in one phrase."""
    found = difference(item)
    return f"{found.off}, {found.allowed}" if found.allowed else found.off
