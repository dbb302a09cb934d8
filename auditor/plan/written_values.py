"""Readers of single values of a plan, with a message for each value that is wrong."""

from __future__ import annotations

import difflib
import json
import math
import re
from collections.abc import Callable, Iterable
from typing import Any

from pydantic_core import PydanticCustomError

from auditor.geometry import Point
from auditor.vocabulary.camera_angle import ELEVATION_WORDS, elevation_deg_of_words
from auditor.vocabulary.diagonals import DIAGONAL_WORDS, DiagonalWord
from auditor.vocabulary.light import LIGHT_WORDS, clock_of_light
from auditor.vocabulary.places import FRAME_WORDS, PLACE_WORDS, RELATION_WORDS, zone_of_place
from auditor.vocabulary.plain_words import plain_words
from auditor.vocabulary.sides import SIDES
from auditor.vocabulary.techniques import TECHNIQUES, technique_name

# No light for photography has a colour temperature outside this range: a candle has about 1850 K,
# a clear north sky up to about 20000 K (common practice, no source). A number outside it is more
# likely a typing mistake.
LEAST_KELVIN, MOST_KELVIN = 1000.0, 25000.0
# No picture is delivered wider than 10:1 or taller than 1:10 (common practice, no source).
MOST_ASPECT_RATIO = 10.0
# From this similarity on, a known word is suggested for an unknown one (difflib's ratio, in [0, 1];
# "camera_angle" for "camera_elevation" has 0.64; common practice, no source).
LEAST_SIMILARITY = 0.55
MOST_CHARACTERS_SHOWN = 40  # of a wrong value: enough to find it in its line
MOST_ITEMS_SHOWN = 3

_HEX_COLOUR = re.compile(r"#(?:[0-9a-f]{3}|[0-9a-f]{6})")
_PROPORTION = re.compile(r"\s*(\d+(?:\.\d+)?)\s*[:x×/]\s*(\d+(?:\.\d+)?)\s*")


def wrong(value: object, what_would_be_right: str) -> PydanticCustomError:
    """The error for one value: ``'120 is not right: must be …'``."""
    message = f"{shown(value)} is not right: {what_would_be_right}"
    return PydanticCustomError("written_value", "{message}", {"message": message})


def shown(value: object) -> str:
    """Write a value as in the file, shortened."""
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        has_lists = any(isinstance(item, list) for item in value)
        if has_lists or len(value) > MOST_ITEMS_SHOWN:
            return "a list"
        return f"[{', '.join(shown(item) for item in value)}]"
    if isinstance(value, bool):
        return "true" if value else "false"
    written = json.dumps(value, ensure_ascii=False) if isinstance(value, str) else str(value)
    if len(written) > MOST_CHARACTERS_SHOWN:
        return written[: MOST_CHARACTERS_SHOWN - 1] + "…"
    return written


def quoted(words: Iterable[str]) -> str:
    """Write words in quotes, as a list."""
    return ", ".join(f'"{word}"' for word in words)


def nearest(word: str, words: Iterable[str]) -> str | None:
    """The most similar known word; None if none is similar."""
    matches = difflib.get_close_matches(word, list(words), n=1, cutoff=LEAST_SIMILARITY)
    return matches[0] if matches else None


def _one_of(words: Iterable[str], written: object, also: str = "") -> str:
    """Say what to write instead of an unknown word."""
    words = tuple(words)
    suggestion = nearest(plain_words(written), words) if isinstance(written, str) else None
    meant = f'did you mean "{suggestion}"? Known are ' if suggestion else "must be one of "
    return f"{meant}{quoted(words)}{also}"


def number_from(value: object) -> float | None:
    """The value as a finite number; None for anything else, true and false included."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if math.isfinite(number) else None


def number_reader(
    least: float, most: float, must_be: str, *, open_below: bool = False
) -> Callable[[Any], float]:
    """Make a reader of numbers in [least, most], or in (least, most] if `open_below`."""

    def read(value: object) -> float:
        number = number_from(value)
        if number is None:
            raise wrong(value, f"must be a number {must_be}")
        if number > most or number < least or (open_below and number == least):
            raise wrong(value, f"must be {must_be}")
        return number

    return read


read_fraction = number_reader(0, 1, "between 0 and 1, a share of the frame (0.45 is 45 %)")
read_size = number_reader(
    0, 1, "above 0 and at most 1, a share of the frame (0.2 is a fifth of it)", open_below=True
)
read_clock = number_reader(
    0, 12, "above 0 and at most 12, on a dial with the camera at 6", open_below=True
)
read_kelvin = number_reader(
    LEAST_KELVIN, MOST_KELVIN, f"between {LEAST_KELVIN:.0f} and {MOST_KELVIN:.0f} kelvin"
)
read_mired = number_reader(
    1e6 / MOST_KELVIN,
    1e6 / LEAST_KELVIN,
    f"between {1e6 / MOST_KELVIN:.0f} and {1e6 / LEAST_KELVIN:.0f} mired",
)
_read_elevation_number = number_reader(0, 90, "between 0 (level) and 90 (straight down)")


def read_text(value: object) -> str:
    """Read a name or title: text that is not empty."""
    if not isinstance(value, str):
        raise wrong(value, "must be text in quotes")
    if not value.strip():
        raise wrong(value, "must not be empty")
    return value.strip()


def read_pattern(value: object) -> str:
    """Read a file pattern; folders are separated by ``/``."""
    if not isinstance(value, str) or not value.strip():
        raise wrong(value, 'must be the name of a file or a pattern for it, as in "*kettle*"')
    if "\\" in value:
        raise wrong(
            value, f'folders are separated by "/", as in {shown(value.replace(chr(92), "/"))}'
        )
    return value.strip().removeprefix("./")


def check_some_files(value: object) -> object:
    """Accept any value but an empty list; `read_pattern` reads its items."""
    if value == []:
        raise wrong(value, 'must name at least one picture, as in files = ["*kettle*"]')
    return value


def read_place(value: object) -> str | Point:
    """Read the place of the subject: words, or [x, y] in fractions of the frame."""
    zone = zone_of_place(value, None) if isinstance(value, str) else None
    if zone is not None and zone.relation is not None:
        raise wrong(value, "the subject cannot be behind, in front of or beside itself")
    return _read_place(value, (*PLACE_WORDS, *FRAME_WORDS))


def read_place_beside(value: object) -> str | Point:
    """Read the place of a supporting element, which may be named after the subject's."""
    return _read_place(value, (*PLACE_WORDS, *FRAME_WORDS, *RELATION_WORDS))


def _read_place(value: object, known: tuple[str, ...]) -> str | Point:
    if isinstance(value, str):
        if zone_of_place(value, None) is None:
            raise wrong(value, _one_of(known, value, ", or [x, y] as in [0.67, 0.33]"))
        return plain_words(value)
    numbers = [number_from(part) for part in value] if isinstance(value, list) else []
    inside = [number for number in numbers if number is not None and 0 <= number <= 1]
    if len(numbers) != 2 or len(inside) != 2:
        raise wrong(
            value,
            "must be [x, y], both between 0 and 1 (x from the left edge, y from the top), "
            'or words as in "upper right"',
        )
    return Point(inside[0], inside[1])


def read_light_words(value: object) -> float:
    """Read words such as ``"back left"`` as a clock position."""
    clock = clock_of_light(value) if isinstance(value, str) else None
    if clock is None:
        raise wrong(value, _one_of(LIGHT_WORDS, value, " (or write clock = 10.5)"))
    return clock


def read_elevation(value: object) -> float:
    """Read a camera elevation in degrees or in words."""
    if not isinstance(value, str):
        return _read_elevation_number(value)
    elevation_deg = elevation_deg_of_words(value)
    if elevation_deg is None:
        raise wrong(value, _one_of(ELEVATION_WORDS, value, ", or degrees between 0 and 90"))
    return elevation_deg


def read_technique(value: object) -> str:
    """Read the name of a technique that can be measured."""
    technique = technique_name(value) if isinstance(value, str) else ""
    if technique not in TECHNIQUES:
        raise wrong(value, _one_of(TECHNIQUES, value))
    return technique


def read_side(value: object) -> str:
    """Read the side on which most of the negative space lies."""
    side = plain_words(value) if isinstance(value, str) else ""
    if side not in SIDES:
        raise wrong(value, _one_of(SIDES, value))
    return side


def read_diagonal(value: object) -> DiagonalWord | float:
    """Read ``"rising"``, ``"falling"``, ``"none"`` or degrees; rising to the right is positive."""
    if isinstance(value, str):
        word = next((known for known in DIAGONAL_WORDS if known == plain_words(value)), None)
        if word is None:
            raise wrong(value, _one_of(DIAGONAL_WORDS, value, ", or degrees"))
        return word
    angle_deg = number_from(value)
    if angle_deg is None or not 0 < abs(angle_deg) < 90:
        raise wrong(
            value,
            f"must be {quoted(DIAGONAL_WORDS)}, or degrees between -90 and 90, "
            "rising to the right above 0, falling below",
        )
    return angle_deg


def read_colour(value: object) -> str:
    """Read an sRGB colour as ``#rrggbb`` (or ``#rgb``); the result is in lower case."""
    colour = value.strip().lower() if isinstance(value, str) else ""
    if not _HEX_COLOUR.fullmatch(colour):
        raise wrong(value, 'must be a colour as "#rrggbb" (0-9 and a-f), as in "#e08a1e"')
    if len(colour) == len("#rgb"):
        return "#" + "".join(digit * 2 for digit in colour[1:])
    return colour


def read_aspect_ratio(value: object) -> float:
    """Read width over height from ``"4:5"`` or a number."""
    ratio = number_from(value)
    if isinstance(value, str) and (proportion := _PROPORTION.fullmatch(value)):
        width, height = (float(part) for part in proportion.groups())
        ratio = width / height if height > 0 else None
    if ratio is None or not 1 / MOST_ASPECT_RATIO <= ratio <= MOST_ASPECT_RATIO:
        raise wrong(
            value,
            'must be width to height, as in "4:5" or 0.8, '
            f"between 1:{MOST_ASPECT_RATIO:.0f} and {MOST_ASPECT_RATIO:.0f}:1",
        )
    return ratio
