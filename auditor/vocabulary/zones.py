"""Zones of the frame: what a place in words means."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from auditor.geometry import Box, Point, diagonal_px, distance_fraction

# How far a zone that is named after the subject extends beyond its box on either side, and how far
# into it, as fractions of the box: a glass behind a plate rises over its far rim (our choice, no
# source).
BEYOND_FRACTION, INTO_FRACTION = 0.5, 0.25
OUTER_FRACTION = 1 / 3  # of the frame, where there is no subject to go by


class Relation(StrEnum):
    """Where something is in relation to the subject, as the camera sees it."""

    BEHIND = "behind"
    IN_FRONT = "in front"
    BESIDE = "beside"
    LEFT_OF = "left of the subject"
    RIGHT_OF = "right of the subject"
    AROUND = "around the subject"
    ON = "on the subject"
    UNDER = "under the subject"


@dataclass(frozen=True, slots=True)
class Zone:
    """A part of the frame.

    Attributes
    ----------
    words : str
        Its name.
    boxes : tuple of Box
        What it covers; empty before a zone that is named after the subject is brought to it.
    point : Point or None
        Its position as a single point; None while there are no boxes.
    relation : Relation or None
        To the subject; None for a zone of the frame itself.
    either : tuple of Zone
        The zones of which any will do, if some of them are named after the subject.
    reach : float
        What of the tolerance is allowed beyond it, where the usual amount would cover what the
        zone leaves out.
    """

    words: str
    boxes: tuple[Box, ...] = ()
    point: Point | None = None
    relation: Relation | None = None
    either: tuple[Zone, ...] = ()
    reach: float = 1.0

    @classmethod
    def any_of(cls, zones: Sequence[Zone]) -> Zone:
        """A zone of several places, any of which will do; the first stands for all."""
        if len(zones) == 1:
            return zones[0]
        words = " or ".join(zone.words for zone in zones)
        if any(zone.follows_subject for zone in zones):
            return cls(words, either=tuple(zones))
        boxes = tuple(box for zone in zones for box in zone.boxes)
        return cls(words, boxes, zones[0].point, reach=min(zone.reach for zone in zones))

    @property
    def follows_subject(self) -> bool:
        """Whether it, or a part of it, is named after the subject."""
        return self.relation is not None or bool(self.either)

    @property
    def is_point(self) -> bool:
        """Whether it is a position without an extent, as the centre is."""
        return all(box.area_fraction <= 0 for box in self.boxes)

    def around(self, subject: Box | None) -> Zone:
        """The zone with its boxes, if it is named after the subject.

        Parameters
        ----------
        subject : Box or None
            None if there is no subject.
        """
        if self.either:
            return Zone.any_of([zone.around(subject) for zone in self.either])
        if self.relation is None:
            return self
        boxes = _boxes(self.relation, subject)
        return replace(self, boxes=boxes, point=boxes[-1].centre, relation=None)

    def distance(self, at: Point, width: float, height: float) -> float:
        """Distance of a position from the zone, as a fraction of the frame's diagonal.

        Inside it is negative: how far it is to the zone's nearest border that is not the edge of
        the frame. Only the ratio of `width` to `height` matters.
        """
        diagonal = diagonal_px(width, height)
        scale = width / diagonal, height / diagonal
        return min(_distance(box, at, scale) for box in self.boxes)

    def nearest(self, at: Point, width: float, height: float) -> Point:
        """The position in the zone that is nearest to another, in a frame of this size."""
        return nearest_in(self.boxes, at, width, height)


def nearest_in(boxes: Sequence[Box], at: Point, width: float, height: float) -> Point:
    """The position in one of the boxes that is nearest to another, in a frame of this size."""
    inside = (
        Point(min(max(at.x, box.left), box.right), min(max(at.y, box.top), box.bottom))
        for box in boxes
    )
    return min(inside, key=lambda one: distance_fraction(one, at, width, height))


def _boxes(relation: Relation, subject: Box | None) -> tuple[Box, ...]:
    areas = _areas_without_subject() if subject is None else _areas_around(subject)
    return areas[relation]


def _areas_without_subject() -> dict[Relation, tuple[Box, ...]]:
    near, far = OUTER_FRACTION, 1 - OUTER_FRACTION
    top, bottom = Box(0.0, 0.0, 1.0, near), Box(0.0, far, 1.0, 1.0)
    left, right = Box(0.0, 0.0, near, 1.0), Box(far, 0.0, 1.0, 1.0)
    return {
        Relation.BEHIND: (top,),
        Relation.IN_FRONT: (bottom,),
        Relation.BESIDE: (left, right),
        Relation.LEFT_OF: (left,),
        Relation.RIGHT_OF: (right,),
        Relation.AROUND: (top, bottom, left, right),
        Relation.ON: (Box(near, near, far, far),),
        Relation.UNDER: (Box(near, near, far, far),),
    }


def _areas_around(subject: Box) -> dict[Relation, tuple[Box, ...]]:
    width, height = subject.right - subject.left, subject.bottom - subject.top
    wide_left = max(0.0, subject.left - BEYOND_FRACTION * width)
    wide_right = min(1.0, subject.right + BEYOND_FRACTION * width)
    into, down_into = INTO_FRACTION * width, INTO_FRACTION * height
    behind = Box(wide_left, 0.0, wide_right, subject.top + down_into)
    in_front = Box(wide_left, subject.bottom - down_into, wide_right, 1.0)
    left = Box(0.0, subject.top, subject.left + into, subject.bottom)
    right = Box(subject.right - into, subject.top, 1.0, subject.bottom)
    return {
        Relation.BEHIND: (behind,),
        Relation.IN_FRONT: (in_front,),
        Relation.BESIDE: (left, right),
        Relation.LEFT_OF: (left,),
        Relation.RIGHT_OF: (right,),
        Relation.AROUND: (behind, in_front, left, right),
        Relation.ON: (subject,),
        Relation.UNDER: (subject,),
    }


def _distance(box: Box, at: Point, scale: tuple[float, float]) -> float:
    """Signed distance of a position from a box; the edges of the frame are no borders."""
    across = max((box.left - at.x) if box.left > 0 else -math.inf,
                 (at.x - box.right) if box.right < 1 else -math.inf) * scale[0]  # fmt: skip
    down = max((box.top - at.y) if box.top > 0 else -math.inf,
               (at.y - box.bottom) if box.bottom < 1 else -math.inf) * scale[1]  # fmt: skip
    if across > 0 and down > 0:
        return math.hypot(across, down)
    return max(across, down)
