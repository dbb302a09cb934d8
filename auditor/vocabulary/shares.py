"""Shares of the frame in words: ``"a third of the frame"``, ``"40%"``, ``"at least half"``.

A share alone is a value, to which the whole tolerance belongs; two shares are a range.
"""

from __future__ import annotations

import re

from auditor.accepted import Accepted
from auditor.vocabulary.listed import Listed
from auditor.vocabulary.number_phrases import decimal_number, number_of_words

SHARE_WORDS: dict[str, float] = {
    "half": 1 / 2,
    "a third": 1 / 3,
    "two thirds": 2 / 3,
    "a quarter": 1 / 4,
    "three quarters": 3 / 4,
    "a fifth": 1 / 5,
    "two fifths": 2 / 5,
    "three fifths": 3 / 5,
    "a sixth": 1 / 6,
    "an eighth": 1 / 8,
    "a tenth": 1 / 10,
}
_ONE = re.compile(r"(?:an?|one)\s+(?=half|third|quarter|fifth|sixth|eighth|tenth)")
_PERCENT = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:%|per\s?cent|percent)")
_DECIMAL = re.compile(r"[01]?[.,]\d+|[01]")
_FRACTION = re.compile(r"(\d)\s*/\s*(\d{1,2})")
_FILLS = re.compile(r"^(?:it )?(?:fills?|takes?(?: up)?|covers?|occupies)\s+")
_OF_WHAT = re.compile(
    r"\s*\b(?:of (?:the |it)?(?:frame|picture|image|photo|space)?|of|the frame|empty|free|clear|"
    r"left empty|negative space|empty space|space)\b"
)


def share_of_words(text: str) -> Accepted | None:
    """Read a share of the frame; None where the text names none."""
    phrase = " ".join(_OF_WHAT.sub(" ", _FILLS.sub("", text.casefold().strip())).split())
    return number_of_words(phrase, _one_share, 0.0, 1.0)


def _one_share(text: str) -> float | None:
    words = text.strip().replace("-", " ")
    one = _ONE.sub("", words)
    for name, share in SHARE_WORDS.items():
        if one == _ONE.sub("", name):
            return share
    if percent := _PERCENT.fullmatch(words):
        return decimal_number(percent[1]) / 100
    if (parts := _FRACTION.fullmatch(words)) and int(parts[2]):
        return int(parts[1]) / int(parts[2])
    return decimal_number(words) if _DECIMAL.fullmatch(words) else None


def listed_shares() -> tuple[Listed, ...]:
    """The shares for the list of words."""
    return (
        Listed("40%", 'a share of the frame; also 0.4, "2/5" or "40 percent"'),
        Listed("30 to 40%", "a range; also [0.3, 0.4]"),
        Listed("at least 40%", 'a limit; also "over", "at most", "up to", "or more"'),
        Listed(
            ", ".join(SHARE_WORDS),
            '"of the frame" may follow',
        ),
    )
