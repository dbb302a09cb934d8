"""The arrow at the edge of the frame that shows where the light comes from.

Seen from above, the camera at 6, the light of 12 comes from the top of the page: the arrow points
the way that the light goes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from auditor.geometry import Box, Point
from auditor.page.drawing.layers import Frame
from auditor.page.drawing.shapes import ARROW_HALF_ANGLE, DEG_PER_HOUR
from auditor.plan_sheet.drawing import Line, Points, Role, box_of, grown, whole
from auditor.plan_sheet.places_taken import PlacesTaken

LENGTH = 0.13  # of the frame's diagonal
HEAD = 0.3  # of the arrow's length
INSETS = (0.03, 0.075)  # of its tail from the edge, of the frame's longer side
N_PLACES = 13  # tried along each edge
FACING = 0.3  # least cosine between an edge's normal and the way to the light
CLEARANCE = 10.0  # from other lines
AWAY_COST = 0.5  # of a place whose arrow points past the middle by the whole diagonal


def light_arrow(clock: float, frame: Frame, taken: PlacesTaken) -> tuple[Line, ...]:
    """The arrow, where it crosses as little as possible and points near to the middle."""
    turn = math.radians(clock * DEG_PER_HOUR)
    toward = Point(math.sin(turn), -math.cos(turn))
    length = LENGTH * frame.diagonal

    def cost(tail: Point) -> tuple[float, float]:
        box = grown(box_of(_strokes(tail, toward, length)[0]), CLEARANCE)
        middle = Point(frame.width / 2 - tail.x, frame.height / 2 - tail.y)
        past = abs(middle.x * toward.y - middle.y * toward.x) / frame.diagonal
        return taken.cost(box) + AWAY_COST * past, past

    tail = min(_tails(toward, length, frame), key=cost)
    shaft, head = _strokes(tail, toward, length)
    return Line(shaft, Role.LIGHT), Line(head, Role.LIGHT)


def _strokes(tail: Point, toward: Point, length: float) -> tuple[Points, Points]:
    tip = Point(tail.x - toward.x * length, tail.y - toward.y * length)
    back = math.atan2(toward.y, toward.x)
    reach = HEAD * length
    wings = [
        Point(tip.x + reach * math.cos(back + side), tip.y + reach * math.sin(back + side))
        for side in (-ARROW_HALF_ANGLE, ARROW_HALF_ANGLE)
    ]
    return (tail, tip), (wings[0], tip, wings[1])


def _tails(toward: Point, length: float, frame: Frame) -> Iterator[Point]:
    """Places along the edges that face the light, from which the arrow stays in the frame."""
    for share in INSETS:
        room = grown(whole(frame), -share * frame.longer)
        for tail in _along_edges(toward, room):
            tip = Point(tail.x - toward.x * length, tail.y - toward.y * length)
            if room.left <= tip.x <= room.right and room.top <= tip.y <= room.bottom:
                yield tail


def _along_edges(toward: Point, room: Box) -> Iterator[Point]:
    """Places along the sides of a box that face the light."""
    for step in range(N_PLACES):
        share = step / (N_PLACES - 1)
        x = room.left + share * (room.right - room.left)
        y = room.top + share * (room.bottom - room.top)
        facing = (
            (-toward.y, Point(x, room.top)),
            (toward.y, Point(x, room.bottom)),
            (-toward.x, Point(room.left, y)),
            (toward.x, Point(room.right, y)),
        )
        yield from (tail for cosine, tail in facing if cosine >= FACING)
