"""The planned subject and supporting elements as outlines in the frame."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from auditor.geometry import Box, Point
from auditor.page.drawing.layers import Frame
from auditor.plan.shot_plan import Intent, PlannedThing
from auditor.plan_sheet.drawing import (
    Points,
    area_of,
    box_of,
    common_area,
    grown,
    holds,
    whole,
)
from auditor.plan_sheet.polygons import clipped
from auditor.plan_sheet.shapes_of_things import Form, form_from

# Drawn where the plan gives no size or angle; the sheet says so. A subject usually takes up 10 to
# 20 % of these frames, a supporting element a quarter of that (our choice, no source).
DEFAULT_SUBJECT_SIZE, DEFAULT_SUPPORTING_SIZE = 0.12, 0.03
DEFAULT_ELEVATION_DEG = 45.0
SHRUNK = (1.0, 0.8, 0.6, 0.45, 0.3)  # what is tried of a size that was not planned
ZONE_STEPS = 15  # places tried across a zone and down it
ROOM = 12.0  # between the outlines of two things where their places are free
EDGE_ROOM = 14.0  # from the frame, the same
MOST_OF_ONE_NAME = 7  # drawn; more of them are a heap
SEVERAL_REACH = 0.25  # of the frame, around a place that several things share
LEAST_LOST = 1e-6  # of an area, against rounding


@dataclass(frozen=True, slots=True)
class Thing:
    """An outline in the frame.

    Attributes
    ----------
    name : str or None
        None for the subject.
    centre : Point
        Its planned centroid.
    outline : tuple of Point
        Closed, within the frame.
    inner : tuple of tuple of Point
        Lines inside it.
    is_assumed : bool
        True where its size was not planned.
    """

    name: str | None
    centre: Point
    outline: Points
    inner: tuple[Points, ...]
    is_assumed: bool

    @property
    def box(self) -> Box:
        """The box around it."""
        return box_of(self.outline)


@dataclass(frozen=True, slots=True)
class Layout:
    """All things, the subject first, and the zones in which they may stand."""

    things: tuple[Thing, ...]
    zones: tuple[Box, ...]


def lay_out(intent: Intent, frame: Frame) -> Layout:
    """Place the outlines of a planned frame.

    An element whose place is a point stands there. One whose place is a zone stands in it where it
    covers nothing else, as near to the zone's own position as it can; one that may stand anywhere
    is not drawn.
    """
    elevation = intent.camera_elevation
    form = form_from(elevation.nominal if elevation else DEFAULT_ELEVATION_DEG)
    placing = _Placing(form, frame)
    subject = intent.subject
    if subject is not None and subject.has_place:
        placing.add(subject)
    with_place = [one for one in intent.supporting if one.has_place]
    for one in sorted(with_place, key=lambda one: one.zone is not None):
        placing.add(one)
    order = [None, *(one.name for one in intent.supporting)]
    things = sorted(placing.things, key=lambda thing: order.index(thing.name))
    return Layout(tuple(things), tuple(dict.fromkeys(placing.zones)))


class _Placing:
    """Places one thing after another."""

    def __init__(self, form: Form, frame: Frame) -> None:
        self._form = form
        self._form_box = box_of(form.outline)
        self._frame = frame
        self.things: list[Thing] = []
        self._boxes: list[Box] = []
        self.zones: list[Box] = []

    def add(self, planned: PlannedThing) -> None:
        """Place a thing that has a place."""
        zone = planned.zone.around(self._subject_box()) if planned.zone else None
        point = zone.point if zone is not None else planned.at
        if point is None:
            return
        boxes: Sequence[Box] = ()
        if zone is not None and not zone.is_point:
            boxes = zone.boxes
            self.zones += [self._frame.box(box) for box in boxes]
        self._put(planned, *self._place(point, boxes, planned))
        for _ in range(_n_more(planned)):
            self._put(planned, *self._place(point, boxes or (_near(point),), planned))

    def _put(self, planned: PlannedThing, at: Point, size: float) -> None:
        shape = self._at(at, size)
        inside = clipped(shape.outline, whole(self._frame))
        if len(inside) > 2:  # at the corner of the frame nothing of it may be left
            inner = tuple(line for line in shape.inner if self._is_in_frame(line))
            is_assumed = planned.size is None
            centre = self._frame.point(at)
            self.things.append(Thing(planned.name, centre, inside, inner, is_assumed))
            self._boxes.append(self.things[-1].box)

    def _place(
        self, point: Point, boxes: Sequence[Box], planned: PlannedThing
    ) -> tuple[Point, float]:
        """Where a thing is drawn, and its share of the frame.

        A thing whose size was not planned shrinks where it would cover others or leave the frame.
        """
        size = _size(planned)
        shares = (1.0,) if planned.size is not None else SHRUNK
        found = point, size
        for share in shares:
            at = self._free_place(point, boxes, size * share) if boxes else point
            found = at, size * share
            lost, covered = self._cost(at, size * share)
            if lost + (covered if boxes else 0.0) == 0:
                break
        return found

    def _subject_box(self) -> Box | None:
        """The subject's box, as fractions."""
        subject = next((thing for thing in self.things if thing.name is None), None)
        if subject is None:
            return None
        left, top, right, bottom = subject.box
        width, height = self._frame.width, self._frame.height
        return Box(left / width, top / height, right / width, bottom / height)

    def _at(self, point: Point, size: float) -> Form:
        """The form with its centroid at a position and a share of the frame."""
        scale = math.sqrt(size * self._frame.width * self._frame.height)
        x, y = self._frame.point(point)

        def moved(points: Points) -> Points:
            return tuple(Point(x + scale * p.x, y + scale * p.y) for p in points)

        return Form(moved(self._form.outline), tuple(moved(line) for line in self._form.inner))

    def _is_in_frame(self, points: Sequence[Point]) -> bool:
        return holds(whole(self._frame), box_of(points))

    def _free_place(self, first: Point, boxes: Sequence[Box], size: float) -> Point:
        """The place in a zone, near its own position, where a thing covers least of the others."""

        def cost(point: Point) -> tuple[float, float]:
            away = math.dist(self._frame.point(point), self._frame.point(first))
            return round(sum(self._cost(point, size))), away

        return min((first, *_places(boxes)), key=cost)

    def _cost(self, point: Point, size: float) -> tuple[float, float]:
        """How much of a thing's box lies outside the frame, and how much in those of others."""
        scale = math.sqrt(size * self._frame.width * self._frame.height)
        (x, y), form = self._frame.point(point), self._form_box
        box = Box(
            x + scale * form.left,
            y + scale * form.top,
            x + scale * form.right,
            y + scale * form.bottom,
        )
        lost = area_of(box) - common_area(box, grown(whole(self._frame), -EDGE_ROOM))
        roomy = grown(box, ROOM)
        covered = sum(common_area(roomy, other) for other in self._boxes)
        return (lost if lost > LEAST_LOST else 0.0), covered


def _places(boxes: Sequence[Box]) -> Iterator[Point]:
    """Places all over the boxes of a zone."""
    for left, top, right, bottom in boxes:
        for i in range(ZONE_STEPS):
            for j in range(ZONE_STEPS):
                x = left + (right - left) * (i + 0.5) / ZONE_STEPS
                yield Point(x, top + (bottom - top) * (j + 0.5) / ZONE_STEPS)


def _n_more(planned: PlannedThing) -> int:
    """How many more things of one name are drawn beside the first."""
    return 0 if planned.count is None else min(MOST_OF_ONE_NAME, int(planned.count.nominal)) - 1


def _near(point: Point) -> Box:
    """Where several things of one place in numbers are drawn."""
    return Box(
        max(0.0, point.x - SEVERAL_REACH),
        max(0.0, point.y - SEVERAL_REACH),
        min(1.0, point.x + SEVERAL_REACH),
        min(1.0, point.y + SEVERAL_REACH),
    )


def _size(planned: PlannedThing) -> float:
    if planned.size is not None:
        return planned.size.nominal
    return DEFAULT_SUBJECT_SIZE if planned.name is None else DEFAULT_SUPPORTING_SIZE
