"""Empty space in words: its sides, and what is left of it without patterned ground."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.quantities import tolerance_rule
from auditor.record.picture_record import NegativeSpaceRecord
from auditor.wording.numbers import percent

SIDES = {
    "left": "on the left",
    "right": "on the right",
    "top": "at the top",
    "bottom": "at the bottom",
    "around": "all around the subject",
    "none": "nowhere in particular",
}


def pattern_words(space: NegativeSpaceRecord) -> str:
    """Say how much is left without patterned ground, and where.

    Empty where the difference is less than a plan tolerates.
    """
    if space.fraction is None or space.plain_fraction is None:
        return ""
    if space.fraction - space.plain_fraction < tolerance_rule("negative_space").default:
        return ""
    where = sides_words(space.plain_sides)
    share = f"{percent(space.plain_fraction)} without the patterned ground"
    return f"{share}, {where}" if where else share


def sides_words(sides: Sequence[str]) -> str:
    """Say on which sides emptiness lies: ``"mostly on the left and at the top"``."""
    where = " and ".join(SIDES[side] for side in sides if side != "none")
    return f"mostly {where}" if where and "around" not in sides else where
