"""The mirror image of a planned composition, and which of the two a picture is nearer to.

Left and right are exchanged in places, in the side of the empty space and in the direction of the
diagonal, all together. The light is not: where it comes from is given by the room, and turning a
plate round does not move the window.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from auditor.comparison.item import ComparedItem, Verdict
from auditor.plan.shot_plan import Intent, PlannedThing
from auditor.vocabulary.mirrored import (
    mirrored_point,
    mirrored_side,
    mirrored_slope,
    mirrored_zone,
)

# What a verdict counts against a composition: a miss as much as two doubts (our choice, no source).
_AGAINST = {Verdict.MET: 0, Verdict.CLOSE: 1, Verdict.UNDECIDED: 1, Verdict.MISSED: 2}

_DIGITS = 6  # below what anything is measured to


def mirror_image(intent: Intent) -> Intent:
    """The same intent with left and right exchanged in its composition."""
    return replace(
        intent,
        subject=None if intent.subject is None else _thing(intent.subject),
        supporting=tuple(_thing(one) for one in intent.supporting),
        without=tuple(_thing(one) for one in intent.without),
        negative_space_sides=tuple(mirrored_side(side) for side in intent.negative_space_sides),
        diagonal=None if intent.diagonal is None else mirrored_slope(intent.diagonal),
        diagonal_deg=None if intent.diagonal_deg is None else -intent.diagonal_deg,
    )


def shortcoming(items: Sequence[ComparedItem]) -> tuple[int, float]:
    """How far a picture is from a composition; smaller is nearer.

    First what its verdicts count against it, then the sum of its distances in tolerances.
    """
    against = sum(_AGAINST[item.verdict] for item in items)
    distances = (
        abs(item.difference) / item.tolerance
        for item in items
        if item.difference is not None and item.tolerance
    )
    return against, round(sum(distances), _DIGITS)


def _thing(thing: PlannedThing) -> PlannedThing:
    return replace(
        thing,
        at=None if thing.at is None else mirrored_point(thing.at),
        zone=None if thing.zone is None else mirrored_zone(thing.zone),
    )
