"""What was planned and what was measured, drawn over a picture.

Everything is in pixels of the preview, y downwards. Planned and measured differ by the style of
their line (dashed, solid) as well as by its colour, and every line is drawn twice, light on dark,
so that it can be seen on any picture. The styles themselves stand in ``static/page.css``.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from auditor.geometry import Point
from auditor.page.drawing import shapes
from auditor.page.drawing.light_dial import draw_light_dial
from auditor.page.drawing.marks import Frame, Label, Layer, Mark
from auditor.page.drawing.mixed_light import draw_mixed_light, mixed_light_words
from auditor.page.drawing.planned import Planned
from auditor.page.drawing.technique_lines import technique_lines
from auditor.record.picture_record import MeasuredImageRecord
from auditor.wording.names import light_words, place_text
from auditor.wording.numbers import clock, degrees, listed

# Sizes as fractions of the longer side: they read at 350 px and do not cover the food at 600 px.
CROSS_ARM = 0.022
CORNER_ARM = 0.04
POINT_RADIUS = 0.011
LEVEL_REACH = 0.22
TEXT_SIZE = 0.027


@dataclass(frozen=True, slots=True)
class Overlay:
    """A drawing over one picture, with its description for those who cannot see it."""

    width: int
    height: int
    text_size: str
    layers: tuple[Layer, ...]
    description: str


@dataclass(frozen=True, slots=True)
class LayerChoice:
    """A layer that the reader can show or hide."""

    name: str
    title: str
    shown: bool


# The plan's main statements are on: more at once would hide the picture.
LAYERS = (
    LayerChoice("subject", "Subject", shown=True),
    LayerChoice("supporting", "Supporting elements", shown=True),
    LayerChoice("light", "Light", shown=True),
    LayerChoice("technique", "Technique", shown=True),
    LayerChoice("diagonal", "Diagonal", shown=False),
    LayerChoice("leading", "Leading lines", shown=False),
    LayerChoice("rims", "Rims and boards", shown=False),
    LayerChoice("level", "Level", shown=False),
    LayerChoice("space", "Empty space", shown=False),
    LayerChoice("focus", "Sharpest point", shown=False),
    LayerChoice("lights", "Mixed light", shown=False),
)


def draw_overlay(image: MeasuredImageRecord, width: int, height: int) -> Overlay:
    """Draw what is known of a picture over its preview of the given size in pixels."""
    frame = Frame(width, height)
    planned = Planned.of(image)
    layers = (
        draw_mixed_light(image, frame),
        _technique(image, planned, frame),
        _space(image, frame),
        _diagonal(image, planned, frame),
        _leading(image, frame),
        _rims(image, frame),
        _level(image, frame),
        _supporting(image, planned, frame),
        _subject(image, planned, frame),
        _focus(image, frame),
        draw_light_dial(image, planned.light, frame),
    )
    return Overlay(
        width,
        height,
        shapes.number(TEXT_SIZE * frame.longer),
        tuple(layer for layer in layers if layer.marks),
        _describe(image, planned),
    )


def _subject(image: MeasuredImageRecord, planned: Planned, frame: Frame) -> Layer:
    marks: list[Mark] = []
    if planned.subject is not None:
        marks += _planned_place(planned.subject, planned.subject_tolerance, frame)
    if image.subject.bbox is not None:
        box = frame.box(image.subject.bbox)
        marks.append(Mark(shapes.corners(box, CORNER_ARM * frame.longer), "measured"))
    if image.subject.centroid is not None:
        centre = frame.point(image.subject.centroid)
        if planned.subject is not None:
            marks.append(Mark(shapes.polyline(frame.point(planned.subject), centre), "guide"))
        marks.append(Mark(shapes.cross(centre, CROSS_ARM * frame.longer), "measured"))
    return Layer("subject", tuple(marks))


def _planned_place(
    at: tuple[float, float], tolerance: float | None, frame: Frame
) -> Iterable[Mark]:
    """A small ring where it was planned, and around it how far it may be away."""
    centre = frame.point(at)
    yield Mark(shapes.circle(centre, POINT_RADIUS * frame.longer), "planned")
    if tolerance:
        yield Mark(shapes.circle(centre, tolerance * frame.diagonal), "planned")


def _supporting(image: MeasuredImageRecord, planned: Planned, frame: Frame) -> Layer:
    marks = [
        Mark(shapes.corners(frame.box(element.bbox), CORNER_ARM * frame.longer / 2), "measured")
        for element in image.elements
    ]
    labels = []
    for thing in planned.supporting:
        centre = frame.point(thing.at)
        marks.append(Mark(shapes.circle(centre, POINT_RADIUS * frame.longer), "planned"))
        labels.append(_beside(centre, thing.name, frame))
    return Layer("supporting", tuple(marks), tuple(labels))


def _beside(at: Point, text: str, frame: Frame) -> Label:
    """A word beside a point, on the side where the frame has more room."""
    right = at.x <= frame.width / 2
    gap = POINT_RADIUS * frame.longer * 2
    return Label(
        shapes.number(at.x + gap if right else at.x - gap),
        shapes.number(at.y + TEXT_SIZE * frame.longer / 3),
        text,
        "start" if right else "end",
        "planned",
    )


def _technique(image: MeasuredImageRecord, planned: Planned, frame: Frame) -> Layer:
    if planned.technique is None:
        return Layer("technique", ())
    fit = image.technique_fit.get(planned.technique)
    near = None if fit is None else frame.point(fit.point)
    lines = technique_lines(planned.technique, frame.width, frame.height, near)
    marks = [Mark(shapes.polyline(*line), "guide") for line in lines]
    if fit is not None and fit.outline:
        corners = (frame.point(corner) for corner in fit.outline)
        marks.append(Mark(shapes.polyline(*corners, closed=True), "measured"))
    return Layer("technique", tuple(marks))


def _diagonal(image: MeasuredImageRecord, planned: Planned, frame: Frame) -> Layer:
    marks = []
    if planned.diagonal is not None:
        ends = shapes.line_across(planned.diagonal, frame.width, frame.height)
        marks += [Mark(shapes.polyline(*ends), "planned")] if ends else []
    if image.diagonal is not None:
        start, end = (frame.point(position) for position in image.diagonal.ends)
        marks.append(Mark(shapes.polyline(start, end), "measured"))
    return Layer("diagonal", tuple(marks))


def _leading(image: MeasuredImageRecord, frame: Frame) -> Layer:
    leading = image.leading_lines
    if leading is None:
        return Layer("leading", ())
    marks = [
        Mark(shapes.polyline(*(frame.point(place) for place in path)), "measured")
        for path in leading.paths
    ]
    meets = shapes.circle(frame.point(leading.leads_to), POINT_RADIUS * frame.longer)
    return Layer("leading", (*marks, Mark(meets, "measured")))


def _rims(image: MeasuredImageRecord, frame: Frame) -> Layer:
    elevation = image.camera_elevation
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
    return Layer("rims", tuple(Mark(path, "measured") for path in (*rims, *rectangles)))


def _level(image: MeasuredImageRecord, frame: Frame) -> Layer:
    """How level things lie: a line through the middle, and what would be level as a guide."""
    if image.roll.deg is None:
        return Layer("level", ())
    middle = Point(frame.width / 2, frame.height / 2)
    reach = LEVEL_REACH * frame.longer
    turn = math.radians(image.roll.deg)
    ends = (
        Point(middle.x - reach * math.cos(turn), middle.y + reach * math.sin(turn)),
        Point(middle.x + reach * math.cos(turn), middle.y - reach * math.sin(turn)),
    )
    level = (Point(middle.x - reach, middle.y), Point(middle.x + reach, middle.y))
    marks = (Mark(shapes.polyline(*level), "guide"), Mark(shapes.polyline(*ends), "measured"))
    return Layer("level", marks)


def _space(image: MeasuredImageRecord, frame: Frame) -> Layer:
    region = image.negative_space.largest_region
    if region is None:
        return Layer("space", ())
    return Layer("space", (Mark(shapes.rectangle(frame.box(region.bbox)), "measured"),))


def _focus(image: MeasuredImageRecord, frame: Frame) -> Layer:
    if image.focus.sharpest_at is None:
        return Layer("focus", ())
    centre = frame.point(image.focus.sharpest_at)
    radius = POINT_RADIUS * frame.longer
    marks = tuple(Mark(shapes.circle(centre, radius * times), "measured") for times in (1.0, 2.0))
    return Layer("focus", marks)


def _describe(image: MeasuredImageRecord, planned: Planned) -> str:
    said = [*_describe_things(image, planned), *_describe_geometry(image)]
    if image.light.clock is not None:
        hours = image.light.clock
        said.append(f"Light measured from {clock(hours)}, {light_words(hours)}.")
    if planned.light is not None:
        said.append(f"Light planned from {clock(planned.light)}, {light_words(planned.light)}.")
    if mixed := mixed_light_words(image.colour_temperature):
        said.append(f"Mixed light, {mixed}.")
    return " ".join(said) or "Nothing could be marked in this picture."


def _describe_things(image: MeasuredImageRecord, planned: Planned) -> Iterable[str]:
    if image.subject.centroid is not None:
        yield f"Subject measured at {place_text(*image.subject.centroid)}."
    if planned.subject is not None:
        yield f"Subject planned at {place_text(*planned.subject)}."
    if image.elements:
        yield f"Supporting elements found: {len(image.elements)}."
    if planned.supporting:
        yield f"Planned: {listed([thing.name for thing in planned.supporting])}."


def _describe_geometry(image: MeasuredImageRecord) -> Iterable[str]:
    if image.camera_elevation.deg is not None:
        yield f"Seen from {degrees(image.camera_elevation.deg)} above the table."
    if image.roll.deg is not None:
        yield f"Turned by {degrees(image.roll.deg, 1)}."
    if image.diagonal is not None:
        yield f"A diagonal of {degrees(image.diagonal.angle_deg)}."
