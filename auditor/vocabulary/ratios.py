"""Words for the format of a picture, as width over height."""

from __future__ import annotations

import re
from dataclasses import dataclass

from auditor.accepted import Accepted
from auditor.vocabulary.listed import Listed, by_form, without

# No picture is delivered wider than 10:1 or taller than 1:10 (common practice, no source).
MOST_ASPECT_RATIO = 10.0


@dataclass(frozen=True, slots=True)
class Format:
    """A format in words, as width over height.

    Attributes
    ----------
    words : str
    nominal : float
        The ratio that is commonest among them.
    least, most : float
    meaning : str
    also : tuple of str
    """

    words: str
    nominal: float
    least: float
    most: float
    meaning: str
    also: tuple[str, ...] = ()

    @property
    def accepted(self) -> Accepted:
        """What it means in a plan."""
        return Accepted(self.nominal, ((self.least, self.most),), self.words)


# A crop by hand is within 0.01 of its ratio; 4:5 and square lie 0.2 apart, so upright and wide
# formats begin well beside square (geometry).
FORMATS = (
    Format(
        "portrait",
        4 / 5,
        1 / MOST_ASPECT_RATIO,
        0.95,
        "clearly taller than wide",
        ("vertical", "upright", "tall"),
    ),
    Format("square", 1.0, 1.0, 1.0, "1:1", ("1 by 1",)),
    Format(
        "landscape",
        3 / 2,
        1.05,
        MOST_ASPECT_RATIO,
        "clearly wider than tall",
        ("horizontal", "wide"),
    ),
    Format("panorama", 2.0, 1.9, MOST_ASPECT_RATIO, "about 2:1 or wider", ("panoramic",)),
)
# Ratios of frames that are printed or shown, the longer side first (from memory).
USUAL_RATIOS = ("1:1", "5:4", "4:3", "7:5", "3:2", "16:10", "16:9", "2:1", "21:9")
_FILLERS = frozenset({"format", "orientation", "crop", "a"})
_FORMATS = by_form(FORMATS)
_ORIENTATION = r"(?:portrait|landscape|vertical|horizontal|upright|tall|wide|square|crop|format)"
_PROPORTION = re.compile(
    rf"(?:{_ORIENTATION}\s*,?\s*\(?)?"
    r"(\d+(?:[.,]\d+)?)\s*(?:[:x×/-]|by|to)\s*(\d+(?:[.,]\d+)?)"
    rf"\)?(?:\s*,?\s*\(?{_ORIENTATION}\)?)?"
)
_TALLER = re.compile(r"\b(?:portrait|vertical|upright|tall)\b")
_WIDER = re.compile(r"\b(?:landscape|horizontal|wide)\b")
_SQUARE = re.compile(r"\bsquare\b")
_DECIMAL = re.compile(r"\d+[.,]\d+")


def ratio_of_words(text: str) -> Accepted | None:
    """Read width over height as words or as ``"4:5"``; None where unknown or out of range."""
    named = _FORMATS.get(without(text, _FILLERS))
    if named is not None:
        return named.accepted
    phrase = text.casefold().strip()
    if found := _PROPORTION.fullmatch(phrase):
        width, height = (float(part.replace(",", ".")) for part in found.groups())
        ratio = _turned(width / height, phrase) if width > 0 and height > 0 else 0.0
    elif _DECIMAL.fullmatch(phrase):
        ratio = float(phrase.replace(",", "."))
    else:
        return None
    return Accepted.exactly(ratio) if is_possible_ratio(ratio) else None


def _turned(ratio: float, phrase: str) -> float:
    """The ratio as its orientation says: a 3:2 in portrait is a 2:3; 0 for a 4:5 that is square."""
    if (_TALLER.search(phrase) and ratio > 1) or (_WIDER.search(phrase) and ratio < 1):
        return 1 / ratio
    return 0.0 if _SQUARE.search(phrase) and ratio != 1 else ratio


def is_possible_ratio(ratio: float) -> bool:
    """Whether a picture may be delivered in this format."""
    return 1 / MOST_ASPECT_RATIO <= ratio <= MOST_ASPECT_RATIO


def listed_ratios() -> tuple[Listed, ...]:
    """The formats for the list of words."""
    return (
        *(Listed(one.words, one.meaning, one.also) for one in FORMATS),
        Listed("4:5", "width to height", ("4x5", "4/5", "4 by 5", "0.8")),
        Listed("3:2 portrait", "2:3: portrait and landscape turn a ratio that lies the other way"),
        Listed("4:5 or 1:1", 'either will do; also ["4:5", "1:1"]'),
    )
