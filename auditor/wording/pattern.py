"""Patterned ground, which some count as empty and some do not, in words."""

from __future__ import annotations

from auditor.record.picture_record import NegativeSpaceRecord
from auditor.wording.numbers import percent

# Difference that is worth words: the tolerance of a planned share (`auditor.quantities`).
WORTH_SAYING = 0.1


def is_patterned(space: NegativeSpaceRecord) -> bool:
    """Whether patterned ground makes a difference."""
    if space.fraction is None or space.plain_fraction is None:
        return False
    return space.fraction - space.plain_fraction >= WORTH_SAYING


def pattern_words(space: NegativeSpaceRecord) -> str:
    """Say how much is left without patterned ground; empty where that makes no difference."""
    if space.plain_fraction is None or not is_patterned(space):
        return ""
    return f"{percent(space.plain_fraction)} without the patterned ground"
