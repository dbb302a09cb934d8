"""Names of the directions of a diagonal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from auditor.vocabulary.listed import Listed, by_form, without, word_set

DiagonalWord = Literal["rising", "falling", "none"]
DIAGONAL_WORDS: tuple[DiagonalWord, ...] = get_args(DiagonalWord)


@dataclass(frozen=True, slots=True)
class Direction:
    """A direction of a diagonal, and other ways to write it."""

    words: DiagonalWord
    meaning: str
    also: tuple[str, ...]


DIRECTIONS = (
    Direction(
        "rising",
        "from the lower left to the upper right",
        (
            "up",
            "ascending",
            "rising to the right",
            "rising left to right",
            "up to the right",
            "lower left to upper right",
            "bottom left to top right",
        ),
    ),
    Direction(
        "falling",
        "from the upper left to the lower right",
        (
            "down",
            "descending",
            "falling to the right",
            "falling left to right",
            "upper left to lower right",
            "top left to bottom right",
        ),
    ),
    Direction("none", "no slanted line leads the eye", ("no", "no diagonal")),
)
_FILLERS = word_set("a diagonal from line the")
_BY_FORM: Mapping[str, Direction] = {
    without(form, _FILLERS): direction for form, direction in by_form(DIRECTIONS).items()
}


def diagonal_of_words(text: str) -> DiagonalWord | None:
    """Read the direction of a diagonal; None where unknown."""
    found = _BY_FORM.get(without(text, _FILLERS))
    return None if found is None else found.words


def slope_word(angle_deg: float) -> Literal["rising", "falling"]:
    """Name the direction of a slanted line, as seen from left to right."""
    return "rising" if angle_deg > 0 else "falling"


def diagonal_words(angle_deg: float) -> str:
    """Name the direction of any line: as `slope_word`, and ``"level"`` for 0 degrees."""
    return "level" if angle_deg == 0 else slope_word(angle_deg)


def listed_diagonals() -> tuple[Listed, ...]:
    """The directions of a diagonal, for the list of words."""
    return (
        *(Listed(one.words, one.meaning, one.also) for one in DIRECTIONS),
        Listed("30", "degrees; rising to the right above 0, falling below", ("-30",)),
    )
