"""Numbers of things and of pictures in words: ``"three"``, ``"at least 2"``, ``"6 to 9"``.

==============================  ==========================================================
in words                        number
==============================  ==========================================================
3, three, exactly three         3
at least 3, 3 or more           3 and more
at most 3, up to 3              0 to 3
6 to 9, 6-9, two or three       from the first to the second
several, a few                  3 and more
none, no                        0
==============================  ==========================================================

Number words run to twelve. Two are a pair, so several and a few begin at three (common practice,
no source).
"""

from __future__ import annotations

import re
from collections.abc import Callable

from auditor.accepted import Accepted
from auditor.vocabulary.plain_words import plain_words

_IN_WORDS = "one two three four five six seven eight nine ten eleven twelve"
NUMBER_WORDS = {word: number for number, word in enumerate(_IN_WORDS.split(), start=1)}
# Nobody counts more things in a frame, or more pictures in a set that a plan describes: a larger
# number is a typing mistake (common practice, no source). It ends a range without an end.
MOST_COUNTED = 1000
EXAMPLES = ("three", "at least 2", "at most 4", "6 to 9")

_SEVERAL = frozenset({"several", "a few", "few"})
_LEAST_OF_SEVERAL = 3
_NONE = frozenset({"none", "no", "zero"})
_BETWEEN_NUMBERS = re.compile(r"(?<=\w)\s*[-\u2013]\s*(?=\w)")
_AT_THE_FRONT = re.compile(r"\s*(several|a\s+few|\w+)\s+(?=\S)", re.IGNORECASE)
_PLURALS_WITHOUT_S = frozenset({"leaves", "knives", "loaves", "dice", "geese", "mice", "men"})
_ENDS_OF_HEAD = frozenset({"of", "with", "for", "on", "in", "at", "from"})


def exactly(number: int) -> Accepted:
    """Exactly so many."""
    return Accepted.exactly(float(number), str(number))


def at_least(number: int) -> Accepted:
    """So many and more."""
    return _between(number, MOST_COUNTED, f"at least {number}")


def how_many(text: str) -> Accepted | None:
    """Turn words for a number, or for a range of numbers, into what they accept.

    Returns
    -------
    Accepted or None
        None where the words name no number, and for a range that ends before it begins.
    """
    words = plain_words(_BETWEEN_NUMBERS.sub(" to ", text))
    if words in _SEVERAL:
        return at_least(_LEAST_OF_SEVERAL)
    if words in _NONE:
        return exactly(0)
    match words.split():
        case ["at", "least", number] | [number, "or", "more"]:
            return _if_number(number, at_least)
        case ["at", "most", number] | ["up", "to", number]:
            return _if_number(number, _at_most)
        case ["exactly", number] | [number]:
            return _if_number(number, exactly)
        case [first, "to" | "or", second] | ["between", first, "and", second]:
            return _range(_number(first), _number(second))
    return None


def leading_number(name: str) -> tuple[Accepted, str] | None:
    """The number with which a name begins, and the rest: ``"three bowls"``, ``"a few leaves"``.

    Only what follows in the plural is counted: a "five spice" or a "two-tone bowl" is one thing.

    Returns
    -------
    (Accepted, str) or None
        None for a name without a number.
    """
    match = _AT_THE_FRONT.match(name)
    if match is None:
        return None
    number, rest = how_many(match[1]), name[match.end() :].strip()
    if number is None or number.nominal <= 1 or not _is_plural(rest):
        return None
    return number, rest


def _is_plural(name: str) -> bool:
    """Whether the thing that a name is about, before "of" or "with", is in the plural."""
    words = plain_words(name).split()
    ends = [place for place, word in enumerate(words) if word in _ENDS_OF_HEAD]
    head = words[: ends[0]] if ends else words
    last = head[-1] if head else ""
    return last in _PLURALS_WITHOUT_S or (last.endswith("s") and not last.endswith("ss"))


def _number(word: str) -> int | None:
    number = int(word) if word.isascii() and word.isdigit() else NUMBER_WORDS.get(word)
    return None if number is None or number > MOST_COUNTED else number


def _if_number(word: str, make: Callable[[int], Accepted]) -> Accepted | None:
    number = _number(word)
    return None if number is None else make(number)


def _at_most(number: int) -> Accepted:
    return _between(0, number, f"at most {number}", nominal=number)


def _range(first: int | None, second: int | None) -> Accepted | None:
    if first is None or second is None or first > second:
        return None
    return _between(first, second, f"{first} to {second}") if first < second else exactly(first)


def _between(least: int, most: int, words: str, nominal: int | None = None) -> Accepted:
    return Accepted(float(least if nominal is None else nominal), ((least, most),), words)
