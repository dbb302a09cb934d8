"""One planned or measured value as a cell of a table: words, numbers and colours."""

from __future__ import annotations

import re
from dataclasses import dataclass

from auditor.report.numbers import (
    NOTHING,
    apart,
    aspect,
    decimal,
    degrees,
    kelvin_from_mired,
    listed,
    percent,
)
from auditor.report.record import ItemRecord
from auditor.report.wording import camera_words, diagonal_words, light_text, place_text

Value = float | str | list[float] | list[str] | None
HEX_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


@dataclass(frozen=True, slots=True)
class Cell:
    """Text, and the colours that stand before it as patches."""

    text: str
    colours: tuple[str, ...] = ()


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
    numbers = [part for part in value if not isinstance(part, str)]
    words = [part for part in value if isinstance(part, str)]
    if words or not value:
        return _colours_cell(words)
    x, y, *others = numbers if len(numbers) > 1 else (*numbers, 0.0)
    if others or len(numbers) == 1:
        return Cell(", ".join(decimal(part, 2) for part in numbers))
    return Cell(place_text(x, y))


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


UNIT_STYLES: dict[str, tuple[int, int, str]] = {
    "fraction of frame": (100, 0, "%"),
    "fraction of diagonal": (1, 2, " of the diagonal"),
    "deg": (1, 0, "°"),
    "h": (1, 1, " h"),
    "mired": (1, 0, " mired"),
    "CIEDE2000": (1, 0, " ΔE₀₀"),
    "ratio": (1, 2, ""),
    "EV": (1, 1, " EV"),
    "L*": (1, 0, " L*"),
    "Duv": (1, 3, " Duv"),
}


def difference_text(item: ItemRecord) -> str:
    """Say how far off an item is and how much is allowed; the two never look the same by rounding.

    Empty where nothing was measured.
    """
    if item.difference is None:
        return ""
    if item.tolerance is None:
        return amount(abs(item.difference), item.unit)
    off, digits, suffix = _scaled(abs(item.difference), item.unit)
    allowed, _, _ = _scaled(item.tolerance, item.unit)
    off_text, allowed_text = apart(off, allowed, digits)
    return f"{off_text}{suffix}, {allowed_text} allowed"


def ratio_cell(width: int, height: int) -> str:
    """Write the shape of a frame."""
    return aspect(width / height)
