"""Numbers of things and of pictures in words: ``"three"``, ``"at least 2"``, ``"6 to 9"``.

Number words run to twelve. Two are a pair, so several and a few begin at three (common practice,
no source).
"""

from __future__ import annotations

import re

from auditor.accepted import Accepted
from auditor.vocabulary.listed import Listed
from auditor.vocabulary.number_phrases import number_of_words
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
_EXACTLY = re.compile(r"^(?:exactly|just|only)\s+")
_MORE = re.compile(r"(?:more than|over|above)\s+(\w+)")
_FEWER = re.compile(r"(?:fewer than|less than|under|below)\s+(\w+)")
_AT_THE_FRONT = re.compile(r"\s*(several|a\s+few|\w+)\s+(?=\S)", re.IGNORECASE)
_PLURALS_WITHOUT_S = frozenset({"leaves", "knives", "loaves", "dice", "geese", "mice", "men"})
_ENDS_OF_HEAD = frozenset({"of", "with", "for", "on", "in", "at", "from"})


def from_to(least: int, most: int) -> Accepted:
    """From one number to another; up to `MOST_COUNTED` has no end."""
    if least == most:
        words = str(least) if least else "none"
    elif most == MOST_COUNTED:
        words = f"at least {least}"
    else:
        words = f"at most {most}" if least == 0 else f"{least} to {most}"
    nominal = most if least == 0 else least
    return Accepted(float(nominal), ((float(least), float(most)),), words)


def how_many(text: str) -> Accepted | None:
    """Turn words for a number, or for a range of numbers, into what they accept.

    Returns
    -------
    Accepted or None
        None where the words name no number, and for a range that ends before it begins.
    """
    phrase = _EXACTLY.sub("", " ".join(text.casefold().split()))
    if phrase in _SEVERAL:
        return from_to(_LEAST_OF_SEVERAL, MOST_COUNTED)
    if phrase in _NONE:
        return from_to(0, 0)
    beyond = _beyond(phrase)
    if beyond is not None:
        return beyond
    found = number_of_words(phrase.replace(" or ", " to "), _number, 0, MOST_COUNTED)
    found = found or number_of_words(phrase, _number, 0, MOST_COUNTED)
    if found is None:
        return None
    least, most = found.spans[0]
    return from_to(round(least), round(most))


def _beyond(phrase: str) -> Accepted | None:
    """A limit that is not allowed itself."""
    more, fewer = _MORE.fullmatch(phrase), _FEWER.fullmatch(phrase)
    number = None if more is None else _number(more[1])
    if number is not None and number < MOST_COUNTED:
        return from_to(round(number) + 1, MOST_COUNTED)
    number = None if fewer is None else _number(fewer[1])
    return None if number is None or number < 1 else from_to(0, round(number) - 1)


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


def listed_numbers() -> tuple[Listed, ...]:
    """The numbers for the list of words."""
    return (
        Listed("3", "that number", ("three", "exactly three")),
        Listed("at least 3", "that number or more", ("3 or more", "more than 2")),
        Listed("at most 3", "that number or fewer, or none", ("up to 3", "fewer than 4")),
        Listed("6 to 9", "from the first to the second", ("6-9", "between 6 and 9")),
        Listed("several", f"{_LEAST_OF_SEVERAL} and more", ("a few",)),
        Listed("none", "not one", ("no", "zero", "0")),
    )


def _is_plural(name: str) -> bool:
    """Whether the thing that a name is about, before "of" or "with", is in the plural."""
    words = plain_words(name).split()
    ends = [place for place, word in enumerate(words) if word in _ENDS_OF_HEAD]
    head = words[: ends[0]] if ends else words
    last = head[-1] if head else ""
    return last in _PLURALS_WITHOUT_S or (last.endswith("s") and not last.endswith("ss"))


def _number(word: str) -> float | None:
    word = word.strip()
    return float(word) if word.isascii() and word.isdigit() else NUMBER_WORDS.get(word)
