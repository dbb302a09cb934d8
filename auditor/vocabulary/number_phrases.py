"""Numbers in words: a value, a range, or a limit, as people write them.

``"about 45 degrees"`` is a value; ``"30 to 40%"`` and ``"between 9 and 11"`` are ranges; ``"at
least 40%"``, ``"over a third"`` and ``"30% or less"`` are limits.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from auditor.accepted import Accepted

ReadOne = Callable[[str], float | None]

_ABOUT = re.compile(
    r"^(?:about|around|roughly|approx(?:imately|\.)?|circa|nearly|almost|just about|"
    r"ca\.?|c\.|~|≈)\s*"
)
_LEAST = re.compile(
    r"^(?:at least|a minimum of|min(?:imum|\.)?|more than|over|above|from|>=?|≥)\s*(.+)$|"
    r"^(.+?)\s*(?:or more|or above|and more|and above|or over|and up|\+)$"
)
_MOST = re.compile(
    r"^(?:at most|a maximum of|max(?:imum|\.)?|less than|no more than|up to|under|below|<=?|≤)"
    r"\s*(.+)$|"
    r"^(.+?)\s*(?:or less|or under|or below|or fewer)$"
)
_BETWEEN = re.compile(r"^(?:between\s+|from\s+)?(.+?)\s*(?:\bto\b|\band\b|\.\.+|–|—|-)\s*(.+)$")
_NUMBER = re.compile(r"^\s*\d+(?:[.,]\d+)?\s*")


def number_of_words(text: str, read_one: ReadOne, lowest: float, highest: float) -> Accepted | None:
    """Read a value, a range or a limit.

    Parameters
    ----------
    text : str
    read_one : callable
        Reads one number with its unit, as text in lower case; None where it is none.
    lowest, highest : float
        Of the quantity: where a limit ends on its open side.

    Returns
    -------
    Accepted or None
        None if the text is no number, or one outside `lowest` to `highest`. The middle of a range
        stands for it, and for a limit the limit itself.
    """
    phrase = _ABOUT.sub("", text.casefold().strip())
    value = read_one(phrase)
    if value is not None:
        return _between(value, value, lowest, highest)
    least = _limit(_LEAST, phrase, read_one)
    if least is not None:
        return _between(least, highest, lowest, highest, least)
    most = _limit(_MOST, phrase, read_one)
    if most is not None:
        return _between(lowest, most, lowest, highest, most)
    ends = _range(phrase, read_one)
    return None if ends is None else _between(*ends, lowest, highest)


def _between(
    least: float, most: float, lowest: float, highest: float, nominal: float | None = None
) -> Accepted | None:
    if not lowest <= least <= most <= highest:
        return None
    if least == most:
        return Accepted.exactly(least)
    return Accepted((least + most) / 2 if nominal is None else nominal, ((least, most),))


def _limit(pattern: re.Pattern[str], phrase: str, read_one: ReadOne) -> float | None:
    found = pattern.match(phrase)
    if found is None:
        return None
    return read_one(next(part for part in found.groups() if part is not None))


def range_of(text: str, read_one: ReadOne) -> tuple[float, float] | None:
    """The two ends of a range, as written; None where the text is none."""
    return _range(_ABOUT.sub("", text.casefold().strip()), read_one)


def _range(phrase: str, read_one: ReadOne) -> tuple[float, float] | None:
    found = _BETWEEN.match(phrase)
    if found is None:
        return None
    first, last = found.groups()
    most = read_one(last)
    # In "30 to 40%" the unit stands once.
    unit = _NUMBER.sub("", last)
    is_bare = _NUMBER.fullmatch(first) is not None
    least = read_one(first + unit) if is_bare else None
    least = read_one(first) if least is None else least
    if least is None or most is None:
        return None
    return least, most


def decimal_number(text: str) -> float:
    """Read digits with a decimal point or comma."""
    return float(text.replace(",", "."))
