"""Readers of the values of a plan that may be words, numbers, ranges, or several of them."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from auditor.accepted import Accepted, AcceptedColour
from auditor.plan import wrong_words
from auditor.plan.written_values import (
    number_from,
    read_clock,
    read_degrees,
    read_fraction,
    read_kelvin,
    read_mired,
    read_size,
    wrong,
)
from auditor.vocabulary.camera_angle import elevation_of_words
from auditor.vocabulary.colours import colours_of_words
from auditor.vocabulary.diagonals import DIAGONAL_WORDS, DiagonalWord, diagonal_of_words
from auditor.vocabulary.empty_space import SpaceWords, sides_of_words, space_of_words
from auditor.vocabulary.light import LightWords, accepted_arc, light_of_words
from auditor.vocabulary.listed import alternatives
from auditor.vocabulary.plain_words import plain_words
from auditor.vocabulary.ratios import is_possible_ratio, ratio_of_words
from auditor.vocabulary.shares import share_of_words
from auditor.vocabulary.sides import PlannedSide
from auditor.vocabulary.sizes import size_of_words
from auditor.vocabulary.techniques import technique_name
from auditor.vocabulary.temperatures import mired_of_kelvin, temperature_of_words

TWO = 2


_BETWEEN = re.compile(r"^between (.+) and (.+)$")


@dataclass(frozen=True, slots=True)
class _Number:
    """How a number or its words are read.

    `in_words` reads one phrase, `number` a number; `list_is_range` says that a list of two
    ascending numbers is a range.
    """

    kind: wrong_words.Kind
    in_words: Callable[[str], Accepted | None]
    number: Callable[[object], float]
    list_is_range: bool = True

    def __call__(self, value: object) -> Accepted:
        if isinstance(value, Accepted):
            return value
        if isinstance(value, list | dict):
            return self._of_several(value)
        if not isinstance(value, str):
            return Accepted.exactly(self._number(value))
        parts = [self._one_phrase(part) for part in alternatives(value)]
        known = [part for part in parts if part is not None]
        if not known or len(known) != len(parts):
            raise wrong(value, wrong_words.instead(self.kind, value))
        return Accepted.any_of(known)

    def _one_phrase(self, text: str) -> Accepted | None:
        """A phrase, or a range from one to another: ``"neutral to warm"``."""
        whole = self.in_words(text)
        text = _BETWEEN.sub(r"\1 to \2", text)
        first, to, last = text.partition(" to ")
        if whole is not None or not to:
            return whole
        ends = self.in_words(first), self.in_words(last)
        return Accepted.from_to(ends[0], ends[1]) if ends[0] and ends[1] else None

    def _of_several(self, value: list[object] | dict[str, object]) -> Accepted:
        if isinstance(value, dict):
            ends = _ends_of_table(value)
        else:
            ends = ends_of_list(value) if self.list_is_range else None
        if ends is not None:
            least, most = (self._number(end) for end in ends)
            return Accepted((least + most) / 2, ((least, most),))
        if not isinstance(value, list) or not value:
            raise wrong(value, wrong_words.instead(self.kind, value))
        return Accepted.any_of([self(item) for item in value])

    def _number(self, value: object) -> float:
        if number_from(value) is None:
            raise wrong(value, wrong_words.instead(self.kind, value))
        return self.number(value)


def _ends_of_table(value: dict[str, object]) -> tuple[float, float] | None:
    """The ends of ``{ from = 40, to = 50 }``."""
    if set(value) != {"from", "to"}:
        return None
    return ends_of_list([value["from"], value["to"]])


def ends_of_list(value: list[object]) -> tuple[float, float] | None:
    """The ends of ``[40, 50]``."""
    if len(value) != TWO:
        return None
    first, last = (number_from(item) for item in value)
    if first is None or last is None or first == last:
        return None
    return min(first, last), max(first, last)


def _read_ratio_number(value: object) -> float:
    ratio = number_from(value)
    if ratio is None or not is_possible_ratio(ratio):
        raise wrong(value, wrong_words.instead(wrong_words.RATIO, value))
    return ratio


def _exact_share(text: str) -> Accepted | None:
    space = space_of_words(text)
    return share_of_words(text) if space is None or space.sides else space.share


read_elevation = _Number(wrong_words.ANGLE, elevation_of_words, read_degrees)
read_size_of_thing = _Number(wrong_words.SIZE, size_of_words, read_size)
read_share = _Number(wrong_words.SPACE, _exact_share, read_fraction)
read_aspect_ratio = _Number(
    wrong_words.RATIO, ratio_of_words, _read_ratio_number, list_is_range=False
)
_read_kelvin_alone = _Number(wrong_words.TEMPERATURE, temperature_of_words, read_kelvin)


def read_kelvin_or_words(value: object) -> Accepted:
    """Read a colour temperature in kelvin or in words, in mired."""
    if isinstance(value, Accepted):
        return value
    if isinstance(value, str):
        return _read_kelvin_alone(value)
    if isinstance(value, list) and not ends_of_list(value):
        if not value:
            raise wrong(value, wrong_words.instead(wrong_words.TEMPERATURE, value))
        return Accepted.any_of([read_kelvin_or_words(item) for item in value])
    return mired_of_kelvin(_read_kelvin_alone(value))


def read_mired_value(value: object) -> Accepted:
    """Read a colour temperature in mired: a number or a range."""
    if isinstance(value, list) and (ends := ends_of_list(value)):
        least, most = (read_mired(end) for end in ends)
        return Accepted((least + most) / 2, ((least, most),))
    return Accepted.exactly(read_mired(value))


def read_techniques(value: object) -> tuple[str, ...]:
    """Read a technique or several, any of which will do."""
    if isinstance(value, list) and value:
        return tuple(dict.fromkeys(one for item in value for one in read_techniques(item)))
    if not isinstance(value, str):
        raise wrong(value, wrong_words.instead(wrong_words.TECHNIQUE, value))
    whole = technique_name(value)
    names = [whole] if whole else [technique_name(part) for part in alternatives(value)]
    known = tuple(name for name in names if name is not None)
    if not known or len(known) != len(names):
        raise wrong(value, _no_technique(value))
    return known


def _no_technique(value: str) -> str:
    """What to write instead; several joined with "and" are named in a list."""
    names = [technique_name(part) for part in _JOINED.split(value)]
    if len(names) > 1 and all(names):
        each = wrong_words.quoted(str(name) for name in names)
        return (
            "both at once cannot be asked for: write the one that matters, or a list, technique = "
            f"[{each}], of which any will do"
        )
    return wrong_words.instead(wrong_words.TECHNIQUE, value)


_JOINED = re.compile(r"\s*(?:,|;|\+|&|\band\b)\s*")


def read_light(value: object) -> LightWords:
    """Read where light comes from: words, a clock position, or several."""
    if isinstance(value, LightWords):
        return value
    if isinstance(value, list) and value:
        return _any_light([read_light(item) for item in value])
    if isinstance(value, str):
        # "9 to 11" is an arc; "left to back left" are two that touch.
        text = value if _DIGIT.search(value) else _TO.sub(" or ", value)
        parts = [light_of_words(part) for part in alternatives(text)]
        known = [part for part in parts if part is not None]
        if known and len(known) == len(parts):
            return _any_light(known)
    elif number_from(value) is not None:
        return LightWords(Accepted.exactly(read_clock(value)))
    raise wrong(value, wrong_words.instead(wrong_words.LIGHT, value))


_DIGIT = re.compile(r"\d")
_TO = re.compile(r"\s+to\s+(?!the\b)")


def _any_light(parts: list[LightWords]) -> LightWords:
    clocks = [part.clock for part in parts if part.clock is not None]
    return LightWords(
        Accepted.any_of(clocks) if clocks else None,
        any(part.is_above for part in parts),
        tuple(dict.fromkeys(word for part in parts for word in part.qualities)),
    )


def read_clock_value(value: object) -> LightWords:
    """Read a clock position: a number, a time as text, or several of them."""
    if isinstance(value, list) and (ends := _clock_ends(value)):
        return LightWords(accepted_arc(*ends))
    if isinstance(value, str) and (light := light_of_words(value)) and light.clock:
        return light
    return LightWords(Accepted.exactly(read_clock(value)))


def _clock_ends(value: list[object]) -> tuple[float, float] | None:
    return (read_clock(value[0]), read_clock(value[1])) if len(value) == TWO else None


def read_space(value: object) -> SpaceWords:
    """Read empty space: a share, a side, both, or several of them."""
    if isinstance(value, list) and value and not ends_of_list(value):
        parts = [read_space(item) for item in value]
        shares = [part.share for part in parts if part.share is not None]
        return SpaceWords(
            Accepted.any_of(shares) if shares else None,
            tuple(dict.fromkeys(side for part in parts for side in part.sides)),
        )
    if isinstance(value, str):
        whole = space_of_words(value)
        if whole is not None:
            return whole
        parts_of_text = alternatives(value)
        if len(parts_of_text) > 1:
            return read_space(list(parts_of_text))
        raise wrong(value, wrong_words.instead(wrong_words.SPACE, value))
    return SpaceWords(read_share(value))


def read_sides(value: object) -> tuple[PlannedSide, ...]:
    """Read the side on which most of the empty space lies, or several."""
    if isinstance(value, tuple):
        return value
    if isinstance(value, list) and value:
        return tuple(dict.fromkeys(side for item in value for side in read_sides(item)))
    if isinstance(value, str):
        parts = [sides_of_words(value)] if sides_of_words(value) else [
            sides_of_words(part) for part in alternatives(value)]  # fmt: skip
        if parts and all(parts):
            return tuple(dict.fromkeys(side for part in parts for side in part))
    raise wrong(value, wrong_words.instead(wrong_words.SIDE, value))


def read_diagonal(value: object) -> DiagonalWord | float:
    """Read ``"rising"``, ``"falling"``, ``"none"`` or degrees; rising to the right is positive."""
    known = (
        f"must be {wrong_words.quoted(DIAGONAL_WORDS)}, or degrees between -90 and 90, "
        "rising to the right above 0, falling below"
    )
    if isinstance(value, str):
        word = diagonal_of_words(value)
        if word is None and _DEGREES.fullmatch(value.strip()):
            return read_diagonal(float(value.strip().rstrip("°")))
        if word is None:
            near = wrong_words.nearest(plain_words(value), DIAGONAL_WORDS)
            raise wrong(value, f'did you mean "{near}"? It {known}' if near else known)
        return word
    angle_deg = number_from(value)
    if angle_deg is None or not 0 < abs(angle_deg) < 90:
        raise wrong(value, known)
    return angle_deg


_DEGREES = re.compile(r"[-+]?\d+(?:\.\d+)?°?")


def listed_alone(value: object) -> object:
    """A text as the only item of a list."""
    return [value] if isinstance(value, str) else value


def read_colour(value: object) -> tuple[AcceptedColour, ...]:
    """Read a text with one colour or several."""
    colours = colours_of_words(value) if isinstance(value, str) else ()
    if not colours:
        raise wrong(value, wrong_words.instead(wrong_words.COLOUR, value))
    return colours
