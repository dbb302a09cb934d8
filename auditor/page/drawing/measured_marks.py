"""What was measured and no plan speaks of, drawn over a picture; beside it `picture_marks`."""

from __future__ import annotations

import math

from auditor.geometry import Point
from auditor.page.drawing import shapes
from auditor.page.drawing.layers import Frame, Layer, Mark
from auditor.record.picture_record import MeasuredPictureRecord

# Sizes as fractions of the longer side, as in `picture_marks`.
POINT_RADIUS = 0.011
LEVEL_REACH = 0.22


def draw_leading(picture: MeasuredPictureRecord, frame: Frame) -> Layer:
    """What leads to the subject, and where it meets it."""
    leading = picture.leading_lines
    if leading is None:
        return Layer("leading", ())
    marks = [
        Mark(shapes.polyline(*(frame.point(place) for place in path)), "measured")
        for path in leading.paths
    ]
    meets = shapes.circle(frame.point(leading.leads_to), POINT_RADIUS * frame.longer)
    return Layer("leading", (*marks, Mark(meets, "measured")))


def draw_rims(picture: MeasuredPictureRecord, frame: Frame) -> Layer:
    """What the camera angle was read from: rims, boards, lines of the table."""
    elevation = picture.camera_elevation
    rims = (
        shapes.ellipse(
            frame.point(rim.centre),
            rim.semi_axes[0] * frame.diagonal,
            rim.semi_axes[1] * frame.diagonal,
            rim.angle_deg,
        )
        for rim in elevation.ellipses
    )
    rectangles = (
        shapes.polyline(*(frame.point(corner) for corner in corners), closed=True)
        for corners in elevation.rectangles
    )
    lines = (shapes.polyline(*(frame.point(end) for end in line)) for line in elevation.lines)
    return Layer("rims", tuple(Mark(path, "measured") for path in (*rims, *rectangles, *lines)))


def draw_level(picture: MeasuredPictureRecord, frame: Frame) -> Layer:
    """How level things lie: a line through the middle, and what would be level as a guide."""
    if picture.roll.deg is None:
        return Layer("level", ())
    middle = Point(frame.width / 2, frame.height / 2)
    reach = LEVEL_REACH * frame.longer
    turn = math.radians(picture.roll.deg)
    ends = (
        Point(middle.x - reach * math.cos(turn), middle.y + reach * math.sin(turn)),
        Point(middle.x + reach * math.cos(turn), middle.y - reach * math.sin(turn)),
    )
    level = (Point(middle.x - reach, middle.y), Point(middle.x + reach, middle.y))
    marks = (Mark(shapes.polyline(*level), "guide"), Mark(shapes.polyline(*ends), "measured"))
    return Layer("level", marks)


def draw_space(picture: MeasuredPictureRecord, frame: Frame) -> Layer:
    """The largest empty region."""
    region = picture.negative_space.largest_region
    if region is None:
        return Layer("space", ())
    # An earlier record has no outline, only the box around it.
    path = shapes.rectangle(frame.box(region.bbox))
    if region.outline:
        path = "".join(
            shapes.polyline(*(frame.point(corner) for corner in ring), closed=True)
            for ring in region.outline
        )
    return Layer("space", (Mark(path, "space"), Mark(path, "measured")))


def draw_focus(picture: MeasuredPictureRecord, frame: Frame) -> Layer:
    """Where the picture is sharpest."""
    if picture.focus.sharpest_at is None:
        return Layer("focus", ())
    centre = frame.point(picture.focus.sharpest_at)
    radius = POINT_RADIUS * frame.longer
    marks = tuple(Mark(shapes.circle(centre, radius * times), "measured") for times in (1.0, 2.0))
    return Layer("focus", marks)


def draw_additions(picture: MeasuredPictureRecord, frame: Frame) -> Layer:
    """The picture within its border, and a box around each line of writing."""
    marks = []
    if picture.border is not None:
        marks.append(Mark(shapes.rectangle(frame.box(picture.border.inside)), "measured"))
    for line in picture.writing:
        corners = (frame.point(corner) for corner in line.corners)
        marks.append(Mark(shapes.polyline(*corners, closed=True), "measured"))
    return Layer("additions", tuple(marks))
