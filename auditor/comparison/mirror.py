"""The mirror image of a planned composition, and which of the two a picture is nearer to.

Left and right are exchanged in places, in the side of the empty space and in the direction of the
diagonal, all together. The light is not: where it comes from is given by the room, and turning a
plate round does not move the window.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from auditor.comparison.item import ComparedItem, Verdict
from auditor.geometry import Box, Point
from auditor.plan.shot_plan import Intent, PlannedThing
from auditor.vocabulary.diagonals import DiagonalWord
from auditor.vocabulary.sides import Side
from auditor.vocabulary.zones import Zone

# What a verdict counts against a composition: a miss as much as two doubts (our choice, no source).
_AGAINST = {Verdict.MET: 0, Verdict.CLOSE: 1, Verdict.UNDECIDED: 1, Verdict.MISSED: 2}
_OPPOSITE = {"left": "right", "right": "left"}
_SLOPES: dict[DiagonalWord, DiagonalWord] = {
    "rising": "falling",
    "falling": "rising",
    "none": "none",
}


def mirror_image(intent: Intent) -> Intent:
    """The same intent with left and right exchanged in its composition."""
    return replace(
        intent,
        subject=None if intent.subject is None else _thing(intent.subject),
        supporting=tuple(_thing(one) for one in intent.supporting),
        without=tuple(_thing(one) for one in intent.without),
        negative_space_sides=tuple(_side(side) for side in intent.negative_space_sides),
        diagonal=None if intent.diagonal is None else _SLOPES[intent.diagonal],
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
    return against, sum(distances)


def _thing(thing: PlannedThing) -> PlannedThing:
    return replace(
        thing,
        at=None if thing.at is None else _point(thing.at),
        zone=None if thing.zone is None else _zone(thing.zone),
    )


def _zone(zone: Zone) -> Zone:
    return replace(
        zone,
        words=" ".join(_OPPOSITE.get(word, word) for word in zone.words.split(" ")),
        boxes=tuple(Box(1 - box.right, box.top, 1 - box.left, box.bottom) for box in zone.boxes),
        point=None if zone.point is None else _point(zone.point),
    )


def _point(at: Point) -> Point:
    return Point(1 - at.x, at.y)


def _side(side: Side) -> Side:
    opposite: dict[Side, Side] = {"left": "right", "right": "left"}
    return opposite.get(side, side)
