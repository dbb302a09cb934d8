"""Typed values of planned items: what was planned and what was measured.

Each value has its kind, so a number is never taken for degrees where it is hours. In
``audit.json`` a value is written in a plain form (a number, a text, a list) with its kind beside
it; `value_of_kind` reads it back.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from auditor.geometry import Point


class ValueKind(StrEnum):
    """What the number, the text or the list of a value means."""

    PLACE = "place"
    ANGLE = "angle"
    CLOCK = "clock"
    FRACTION = "fraction"
    MIRED = "mired"
    RATIO = "ratio"
    COLOURS = "colours"
    WORDS = "words"
    COUNT = "count"


@dataclass(frozen=True, slots=True)
class Place:
    """A position in the frame, as fractions of its width and height."""

    at: Point

    kind = ValueKind.PLACE

    @property
    def plain(self) -> list[float]:
        """``[x, y]``."""
        return [self.at.x, self.at.y]


@dataclass(frozen=True, slots=True)
class Angle:
    """An angle in degrees: a camera elevation or the direction of a line."""

    deg: float

    kind = ValueKind.ANGLE

    @property
    def plain(self) -> float:
        """Degrees."""
        return self.deg


@dataclass(frozen=True, slots=True)
class Clock:
    """A light direction in hours, in (0, 12]."""

    hours: float

    kind = ValueKind.CLOCK

    @property
    def plain(self) -> float:
        """Hours."""
        return self.hours


@dataclass(frozen=True, slots=True)
class Fraction:
    """A share of the frame, in [0, 1]."""

    fraction: float

    kind = ValueKind.FRACTION

    @property
    def plain(self) -> float:
        """The fraction."""
        return self.fraction


@dataclass(frozen=True, slots=True)
class Mired:
    """A colour temperature in mired."""

    mired: float

    kind = ValueKind.MIRED

    @property
    def plain(self) -> float:
        """Mired."""
        return self.mired


@dataclass(frozen=True, slots=True)
class Ratio:
    """Width over height."""

    ratio: float

    kind = ValueKind.RATIO

    @property
    def plain(self) -> float:
        """Width over height."""
        return self.ratio


@dataclass(frozen=True, slots=True)
class Colours:
    """One colour or several, each ``#rrggbb``."""

    hexes: tuple[str, ...]

    kind = ValueKind.COLOURS

    @property
    def plain(self) -> list[str]:
        """The colours as a list."""
        return list(self.hexes)


@dataclass(frozen=True, slots=True)
class Words:
    """A word of a fixed vocabulary: a technique, a side, the direction of a diagonal."""

    text: str

    kind = ValueKind.WORDS

    @property
    def plain(self) -> str:
        """The word."""
        return self.text


@dataclass(frozen=True, slots=True)
class Count:
    """A number of things."""

    number: float

    kind = ValueKind.COUNT

    @property
    def plain(self) -> float:
        """The number."""
        return self.number


Value = Place | Angle | Clock | Fraction | Mired | Ratio | Colours | Words | Count

_HEX_COLOUR = re.compile("#[0-9a-f]{6}")
_OF_NUMBER: Mapping[ValueKind, type[Angle | Clock | Fraction | Mired | Ratio | Count]] = {
    ValueKind.ANGLE: Angle,
    ValueKind.CLOCK: Clock,
    ValueKind.FRACTION: Fraction,
    ValueKind.MIRED: Mired,
    ValueKind.RATIO: Ratio,
    ValueKind.COUNT: Count,
}


def _is_colour(text: object) -> bool:
    return isinstance(text, str) and _HEX_COLOUR.fullmatch(text) is not None


def value_of_kind(kind: ValueKind, plain: object) -> Value | None:
    """Read a value back from its plain form.

    Parameters
    ----------
    kind : ValueKind
    plain : object
        As `plain` of the value, or None.

    Returns
    -------
    Value or None
        None exactly if `plain` is None.

    Raises
    ------
    ValueError
        If the plain form does not fit the kind.
    """
    match plain:
        case None:
            return None
        case str() if kind is ValueKind.WORDS:
            return Words(plain)
        case float() | int() if kind in _OF_NUMBER and not isinstance(plain, bool):
            return _OF_NUMBER[kind](plain)
        case [float() | int() as x, float() | int() as y] if kind is ValueKind.PLACE:
            return Place(Point(x, y))
        case [_, *_] if kind is ValueKind.COLOURS and all(_is_colour(one) for one in plain):
            return Colours(tuple(str(one) for one in plain))
    raise ValueError(f"not a value of kind {kind}: {plain!r}")
