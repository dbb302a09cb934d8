"""Readers of single values of a plan, with a message for each value that is wrong."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from typing import Any

from pydantic_core import PydanticCustomError

from auditor.plan.known_mistakes import as_kelvin
from auditor.vocabulary.temperatures import LEAST_KELVIN, MOST_KELVIN

MOST_CHARACTERS_SHOWN = 40  # of a wrong value: enough to find it in its line
MOST_ITEMS_SHOWN = 3


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
    least: float,
    most: float,
    must_be: str,
    *,
    open_below: bool = False,
    meant: Callable[[float], str] | None = None,
) -> Callable[[Any], float]:
    """Make a reader of numbers in [least, most], or in (least, most] if `open_below`.

    `meant` says what a number outside was probably meant to be.
    """

    def read(value: object) -> float:
        number = number_from(value)
        if number is None:
            raise wrong(value, f"must be a number {must_be}")
        if number > most or number < least or (open_below and number == least):
            raise wrong(value, f"must be {must_be}{'' if meant is None else meant(number)}")
        return number

    return read


def _as_share(number: float) -> str:
    """What to write for a number that is meant in per cent."""
    if not 1 < number <= 100:
        return ""
    return f': write {number / 100:g} or "{number:g}%"'


read_fraction = number_reader(
    0, 1, "between 0 and 1, a share of the frame (0.45 is 45 %)", meant=_as_share
)
read_size = number_reader(
    0,
    1,
    "above 0 and at most 1, a share of the frame (0.2 is a fifth of it)",
    open_below=True,
    meant=_as_share,
)
read_clock = number_reader(
    0, 12, "above 0 and at most 12, the hour on a dial with the camera at 6", open_below=True
)
read_kelvin = number_reader(
    LEAST_KELVIN,
    MOST_KELVIN,
    f"between {LEAST_KELVIN:.0f} and {MOST_KELVIN:.0f} kelvin",
    meant=as_kelvin,
)
read_mired = number_reader(
    1e6 / MOST_KELVIN,
    1e6 / LEAST_KELVIN,
    f"between {1e6 / MOST_KELVIN:.0f} and {1e6 / LEAST_KELVIN:.0f} mired",
)
read_degrees = number_reader(0, 90, "between 0 (level) and 90 (straight down)")


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


def read_files(value: object) -> object:
    """Accept one pattern without a list; `read_pattern` reads the items of a list."""
    if value == []:
        raise wrong(
            value, 'must name at least one picture, as in files = ["*kettle*"]; or leave files out'
        )
    return [value] if isinstance(value, str) else value
