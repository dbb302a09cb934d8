"""Places, sides and slopes as a mirror shows them: left and right are exchanged."""

from __future__ import annotations

import re
from dataclasses import replace

from auditor.geometry import Box, Point
from auditor.vocabulary.diagonals import DiagonalWord
from auditor.vocabulary.sides import PlannedSide
from auditor.vocabulary.zones import Relation, Zone

_OPPOSITE = {"left": "right", "right": "left"}
_RELATIONS = {Relation.LEFT_OF: Relation.RIGHT_OF, Relation.RIGHT_OF: Relation.LEFT_OF}
_ACROSS = re.compile(r"(\d+)%(?= across)")
_SIDES: dict[PlannedSide, PlannedSide] = {
    "left": "right",
    "right": "left",
    "upper left": "upper right",
    "upper right": "upper left",
    "lower left": "lower right",
    "lower right": "lower left",
}
_SLOPES: dict[DiagonalWord, DiagonalWord] = {
    "rising": "falling",
    "falling": "rising",
    "none": "none",
}


def mirrored_point(at: Point) -> Point:
    """The position on the other side."""
    return Point(1 - at.x, at.y)


def mirrored_zone(zone: Zone) -> Zone:
    """The zone on the other side, with its name."""
    return replace(
        zone,
        words=_words(zone.words),
        boxes=tuple(Box(1 - box.right, box.top, 1 - box.left, box.bottom) for box in zone.boxes),
        point=None if zone.point is None else mirrored_point(zone.point),
        relation=None if zone.relation is None else _RELATIONS.get(zone.relation, zone.relation),
        either=tuple(mirrored_zone(one) for one in zone.either),
    )


def mirrored_side(side: PlannedSide) -> PlannedSide:
    """The opposite side; top, bottom, around and none stay."""
    return _SIDES.get(side, side)


def mirrored_slope(slope: DiagonalWord) -> DiagonalWord:
    """Falling for rising."""
    return _SLOPES[slope]


def _words(words: str) -> str:
    turned = " ".join(_OPPOSITE.get(word, word) for word in words.split(" "))
    return _ACROSS.sub(lambda found: f"{100 - int(found[1])}%", turned)
