"""The units of numbers in rules: how they are read and written."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from auditor.accepted import Accepted
from auditor.vocabulary.number_phrases import decimal_number
from auditor.vocabulary.written_units import bytes_text, share_text

# Decimal multiples as in the SI, binary ones as in IEC 80000-13.
_BYTES = {"kb": 1e3, "mb": 1e6, "gb": 1e9, "kib": 2**10, "mib": 2**20, "gib": 2**30}
_NUMBER = re.compile(r"(\d+(?:[.,]\d+)?)\s*([a-z%]*)")


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit.

    Attributes
    ----------
    name : str
        Of the values in a record.
    read_one : callable
        Reads one number with its unit, as text in lower case; None where it is none.
    write : callable
        Writes a value in its unit.
    highest : float
        A larger number is a typing mistake.
    example : str
        A right value, as written in the file.
    exact : bool
        Whether one value may be asked exactly.
    """

    name: str
    read_one: Callable[[str], float | None]
    write: Callable[[float], str]
    highest: float
    example: str
    exact: bool = True


def _reader(factors: dict[str, float]) -> Callable[[str], float | None]:
    """A reader of a number with one of several units; "" allows none."""

    def read(text: str) -> float | None:
        found = _NUMBER.fullmatch(text.strip())
        if found is None or found[2] not in factors:
            return None
        return decimal_number(found[1]) * factors[found[2]]

    return read


_PIXEL_WORDS = ("", "px", "pixel", "pixels")
PIXELS = Unit(
    "px",
    _reader(dict.fromkeys(_PIXEL_WORDS, 1.0)),
    lambda value: f"{value:.0f} px",
    1e6,
    '"at least 3000"',
)
MEGAPIXELS = Unit(
    "megapixels",
    _reader(dict.fromkeys(("", "mp", "mpx", "megapixel", "megapixels"), 1.0)),
    lambda value: f"{value:.3g} megapixels",
    1e4,
    '"at least 12"',
)
BYTES = Unit(
    "bytes", _reader({**_BYTES, "bytes": 1.0}), bytes_text, 1e12, '"at most 8 MB"', exact=False
)
SHARE = Unit(
    "share", _reader({"%": 0.01, "percent": 0.01}), share_text, 1.0, '"at most 1 %"', exact=False
)
SHARPNESS = Unit(
    "sharpness",
    _reader({"": 1.0}),
    lambda value: f"{value:.2g}",
    1.0,
    '"at least 0.3"',
    exact=False,
)
BITS = Unit(
    "bits",
    _reader(dict.fromkeys(("", "bit", "bits"), 1.0)),
    lambda value: f"{value:.0f} bits",
    32,
    "8",
)


def words_of(accepted: Accepted, unit: Unit) -> str:
    """What a number accepts, in words: ``"at least 3000 px"``."""
    least, most = accepted.spans[0]
    if least == most:
        return f"exactly {unit.write(least)}"
    if most >= unit.highest:
        return f"at least {unit.write(least)}"
    if least <= 0:
        return f"at most {unit.write(most)}"
    return f"{unit.write(least)} to {unit.write(most)}"
