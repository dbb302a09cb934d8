"""Words for empty space: on which side it lies, and how much of the frame it takes.

"Right" is a side, "40%" a share, "40% on the right" both. A third or a half of the frame by its
side, "top third", means that the emptiness lies there and is at least as much.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from auditor.accepted import Accepted
from auditor.vocabulary.listed import Listed, by_form, shares_text, without, word_set
from auditor.vocabulary.plain_words import plain_words
from auditor.vocabulary.shares import share_of_words
from auditor.vocabulary.sides import BOTH_SIDES, CORNERS, SIDES, PlannedSide


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount of empty space in words, as a share of the frame."""

    words: str
    least: float
    most: float
    also: tuple[str, ...] = ()

    @property
    def accepted(self) -> Accepted:
        """What it means in a plan."""
        nominal = self.least if self.most == 1 else (self.least + self.most) / 2
        return Accepted(nominal, ((self.least, self.most),), self.words)


# A tenth of the frame is the least that is noticed as empty. On 40 finished pictures of dishes by
# many hands the emptiness was 0.28, 0.42 and 0.55 of the frame at the quartiles: "lots" is more
# than most have, "little" less (our choice, no other source).
AMOUNTS = (
    Amount(
        "little",
        0.0,
        0.25,
        ("a little", "very little", "hardly any", "not much", "minimal", "tight"),
    ),
    Amount("some", 0.2, 0.5, ("medium", "moderate", "a bit", "a fair amount")),
    Amount(
        "lots",
        0.5,
        1.0,
        ("a lot", "lots of it", "plenty", "much", "generous", "most", "large", "big"),
    ),
)
_FILLERS = word_set(
    "side sides on in at the of frame picture hand corner empty space negative copy "
    "text for room subject dish it plate to mostly whole a"
)
_AMOUNTS = {without(form, _FILLERS): amount for form, amount in by_form(AMOUNTS).items()}
_ALSO_SIDES: dict[PlannedSide, tuple[str, ...]] = {
    "top": ("upper", "above"),
    "bottom": ("lower", "below"),
    "around": ("all around", "all round", "everywhere", "surrounding"),
    "none": ("no", "nowhere", "full frame", "fills the frame", "zero"),
    "upper left": ("top left",),
    "upper right": ("top right",),
    "lower left": ("bottom left",),
    "lower right": ("bottom right",),
}
# "All sides" would lose its noun as a filler.
_WHOLE_PHRASES: dict[str, tuple[PlannedSide, ...]] = {
    "all sides": ("around",),
    "on all sides": ("around",),
    **dict.fromkeys(
        ("both sides", "on both sides", BOTH_SIDES, "left and right sides", "right and left"),
        (BOTH_SIDES,),
    ),
    "a corner": CORNERS,
    "any corner": CORNERS,
    "in a corner": CORNERS,
    "one corner": CORNERS,
}
_SIDES: dict[str, tuple[PlannedSide, ...]] = {
    **{side: (side,) for side in (*SIDES, *CORNERS)},
    **{without(form, _FILLERS): (side,) for side, forms in _ALSO_SIDES.items() for form in forms},
    **dict.fromkeys(("either", "one", "either left or right"), ("left", "right")),
}
_PART = re.compile(
    r"(?P<side>left|right|top|bottom|upper|lower)(?: hand)?[ -](?P<part>third|half|quarter)"
)
_AROUND_PART = re.compile(r"^(?:empty\s+|the\s+|in the\s+|on the\s+)+|\s+empty$")
_PARTS = {"third": 1 / 3, "half": 1 / 2, "quarter": 1 / 4}
_DIGIT = re.compile(r"\d")
_SIDE_THEN_SHARE = re.compile(
    r"(?:the )?(?P<side>left|right|top|bottom|upper|lower) "
    r"(?P<share>two thirds|three quarters|\d.*)"
)


@dataclass(frozen=True, slots=True)
class SpaceWords:
    """What words for empty space say: a share, sides of which any will do, or both."""

    share: Accepted | None = None
    sides: tuple[PlannedSide, ...] = ()


def space_of_words(text: str) -> SpaceWords | None:
    """Read words for empty space; None where they say nothing known."""
    phrase = text.casefold().strip()
    sides = sides_of_words(phrase)
    if sides:
        return SpaceWords(sides=sides)
    amount = _AMOUNTS.get(without(phrase, _FILLERS))
    share = amount.accepted if amount else share_of_words(phrase)
    if share is not None:
        return SpaceWords(share)
    if part := _PART.fullmatch(_AROUND_PART.sub("", phrase)):
        least = _PARTS[part["part"]]
        side = sides_of_words(part["side"])
        return SpaceWords(Accepted(least, ((least, 1.0),), plain_words(phrase)), side)
    return _share_and_side(phrase)


def _share_and_side(phrase: str) -> SpaceWords | None:
    first, comma, last = phrase.partition(",")
    if comma:
        one, other = space_of_words(first), space_of_words(last)
        if one is None or other is None:
            return None
        return SpaceWords(one.share or other.share, one.sides or other.sides)
    first, _, last = phrase.partition(" and ")
    if both := _SIDES.get(f"{first} {last}") or _SIDES.get(f"{last} {first}"):
        return SpaceWords(sides=both)  # "top and left" is a corner
    if part := _SIDE_THEN_SHARE.fullmatch(phrase):
        least = share_of_words(part["share"])
        if least is not None:
            named = "" if _DIGIT.search(phrase) else plain_words(phrase)
            at_least = Accepted(least.nominal, ((least.nominal, 1.0),), named)
            return SpaceWords(at_least, sides_of_words(part["side"]))
    words = phrase.split()
    for cut in range(1, len(words)):
        first, last = " ".join(words[:cut]), " ".join(words[cut:])
        amount = _AMOUNTS.get(without(first, _FILLERS))
        share = amount.accepted if amount else share_of_words(first)
        if share is not None and (sides := sides_of_words(last)):
            return SpaceWords(share, sides)
    return None


def sides_of_words(text: str) -> tuple[PlannedSide, ...]:
    """The sides that words name, any of which will do; empty where they name none."""
    phrase = plain_words(text)
    if phrase.removesuffix(" third") in CORNERS:
        phrase = phrase.removesuffix(" third")  # "upper left third"
    return _WHOLE_PHRASES.get(phrase) or _SIDES.get(without(phrase, _FILLERS), ())


def listed_sides() -> tuple[Listed, ...]:
    """The sides on which emptiness may lie, for the list of words."""
    return (
        *(
            Listed(side, f"most of the emptiness lies at the {side}", _ALSO_SIDES.get(side, ()))
            for side in SIDES[:4]
        ),
        *(
            Listed(f"{corner} corner", "towards both of its sides", _ALSO_SIDES[corner])
            for corner in CORNERS
        ),
        Listed("a corner", "any of the four"),
        Listed("either side", "left or right will do"),
        Listed(
            BOTH_SIDES,
            "both at once; measured is only that no side has clearly more",
            ("both sides",),
        ),
        Listed(
            "around",
            "spread all around the subject",
            (*_ALSO_SIDES["around"], "all sides"),
        ),
        Listed("none", "less than a tenth of the frame", _ALSO_SIDES["none"]),
    )


def listed_space() -> tuple[Listed, ...]:
    """The words for empty space, for the list of words."""
    return (
        *listed_sides(),
        Listed("top third, left half …", "on that side, and at least so much of the frame"),
        *(Listed(one.words, shares_text(one.least, one.most), one.also) for one in AMOUNTS),
        Listed("40% on the right", 'a share and a side; also { fraction = 0.4, side = "right" }'),
    )
