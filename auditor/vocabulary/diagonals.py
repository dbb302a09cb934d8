"""Names of the directions of a diagonal."""

from __future__ import annotations

from typing import Literal, get_args

DiagonalWord = Literal["rising", "falling", "none"]
DIAGONAL_WORDS: tuple[DiagonalWord, ...] = get_args(DiagonalWord)


def slope_word(angle_deg: float) -> Literal["rising", "falling"]:
    """Name the direction of a slanted line, as seen from left to right."""
    return "rising" if angle_deg > 0 else "falling"


def diagonal_words(angle_deg: float) -> str:
    """Name the direction of any line: as `slope_word`, and ``"level"`` for 0 degrees."""
    return "level" if angle_deg == 0 else slope_word(angle_deg)
