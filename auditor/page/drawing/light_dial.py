"""The light over a picture: a dial seen from above, the subject in the middle, the camera at 6."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.geometry import Box, Point
from auditor.page.drawing import shapes
from auditor.page.drawing.layers import Frame, Layer, Mark
from auditor.page.drawing.planned import PlannedLight
from auditor.record.picture_record import (
    MeasuredPictureRecord,
)

# Sizes as fractions of the picture's longer side.
DIAL_RADIUS = 0.075  # 45 px across at 300 px: the smallest dial that still reads
DIAL_MARGIN = 0.03
# Sizes as shares of the dial's radius.
HUB = 0.16  # the subject in the middle of the table
RAY_FROM, RAY_TO = 0.92, 0.26
HEAD = 0.34
TICK_FROM = 0.84
FOUR_HOURS = (12.0, 3.0, 6.0, 9.0)


def draw_light_dial(
    picture: MeasuredPictureRecord, planned: Sequence[PlannedLight], frame: Frame
) -> Layer:
    """Draw where the light comes from and where it was planned to come from."""
    measured = picture.light.clock
    if measured is None and not planned:
        return Layer("light", ())
    radius = DIAL_RADIUS * frame.longer
    centre = quiet_corner(picture, frame, radius)
    marks = [
        Mark(shapes.circle(centre, radius), "plate"),
        Mark(_ticks(centre, radius), "guide"),
        Mark(shapes.circle(centre, radius * HUB), "guide"),
    ]
    for one in planned:
        if one.first != one.last:
            arc = shapes.dial_sector(centre, radius, one.first, one.last)
            marks.append(Mark(arc, "zone"))
        marks.append(Mark(_ray(centre, radius, one.middle), "planned"))
    if measured is not None:
        marks.append(Mark(_ray(centre, radius, measured), "measured"))
    return Layer("light", tuple(marks))


def _ticks(centre: Point, radius: float) -> str:
    return "".join(
        shapes.polyline(
            shapes.on_dial(centre, radius * TICK_FROM, hour), shapes.on_dial(centre, radius, hour)
        )
        for hour in FOUR_HOURS
    )


def _ray(centre: Point, radius: float, hours: float) -> str:
    """An arrow in the direction of the light, from the rim towards the subject."""
    return shapes.arrow(
        shapes.on_dial(centre, radius * RAY_FROM, hours),
        shapes.on_dial(centre, radius * RAY_TO, hours),
        radius * HEAD,
    )


def quiet_corner(picture: MeasuredPictureRecord, frame: Frame, radius: float) -> Point:
    """Middle of the dial in the corner where it hides least of what was found."""
    inset = radius + DIAL_MARGIN * frame.longer
    found = [frame.box(element.bbox) for element in picture.elements]
    if picture.subject.bbox is not None:
        found.append(frame.box(picture.subject.bbox))

    def hidden(centre: Point) -> float:
        dial = Box(centre.x - radius, centre.y - radius, centre.x + radius, centre.y + radius)
        return sum(_common_area(dial, box) for box in found)

    right, bottom = frame.width - inset, frame.height - inset
    corners = (
        Point(right, bottom),
        Point(inset, bottom),
        Point(right, inset),
        Point(inset, inset),
    )
    return min(corners, key=hidden)


def _common_area(a: Box, b: Box) -> float:
    across = min(a.right, b.right) - max(a.left, b.left)
    down = min(a.bottom, b.bottom) - max(a.top, b.top)
    return max(0.0, across) * max(0.0, down)
