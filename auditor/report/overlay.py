"""What was planned and what was measured, drawn over a picture.

Everything is in pixels of the preview, y downwards. Planned and measured differ by the style of
their line (dashed, solid) as well as by its colour, and every line is drawn twice, light on dark,
so that it can be seen on any picture. The styles themselves stand in ``static/page.css``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from auditor.geometry import Box, Point, diagonal_px
from auditor.report import shapes
from auditor.report.numbers import clock, listed
from auditor.report.planned import Planned
from auditor.report.record import MeasuredImageRecord
from auditor.report.technique_lines import technique_lines
from auditor.report.wording import light_words, place_text

# Sizes as fractions of the longer side: they read at 350 px and do not cover the food at 600 px.
CROSS_ARM = 0.022
CORNER_ARM = 0.04
POINT_RADIUS = 0.011
TEXT_SIZE = 0.03
DIAL_RADIUS = 0.075
DIAL_MARGIN = 0.03
HUB_SHARE = 0.16  # of the dial's radius: the subject in the middle of the table
ARROW_FROM, ARROW_TO = 0.92, 0.26  # shares of the dial's radius
HEAD_SHARE = 0.34  # of the dial's radius
TICK_FROM = 0.84  # of the dial's radius
FOUR_TICKS = (12.0, 3.0, 6.0, 9.0)

Role = Literal["measured", "planned", "guide", "plate"]


@dataclass(frozen=True, slots=True)
class Mark:
    """One line of the drawing: SVG path data and what it stands for."""

    path: str
    role: Role


@dataclass(frozen=True, slots=True)
class Label:
    """A word in the drawing."""

    x: str
    y: str
    text: str
    anchor: Literal["start", "middle", "end"]
    role: Role


@dataclass(frozen=True, slots=True)
class Layer:
    """Marks that are shown or hidden together; `name` is one of `LAYERS`."""

    name: str
    marks: tuple[Mark, ...]
    labels: tuple[Label, ...] = ()


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
    LayerChoice("rims", "Rims", shown=False),
    LayerChoice("space", "Empty space", shown=False),
    LayerChoice("focus", "Sharpest point", shown=False),
)


@dataclass(frozen=True, slots=True)
class _Frame:
    """The preview's size, and fractions of the frame brought to its pixels."""

    width: int
    height: int

    @property
    def longer(self) -> int:
        return max(self.width, self.height)

    @property
    def diagonal(self) -> float:
        return diagonal_px(self.width, self.height)

    def point(self, position: tuple[float, float]) -> Point:
        return Point(position[0] * self.width, position[1] * self.height)

    def box(self, bbox: tuple[float, float, float, float]) -> Box:
        left, top, right, bottom = bbox
        return Box(left * self.width, top * self.height, right * self.width, bottom * self.height)


def draw_overlay(image: MeasuredImageRecord, width: int, height: int) -> Overlay:
    """Draw what is known of a picture over its preview of the given size in pixels."""
    frame = _Frame(width, height)
    planned = Planned.of(image)
    layers = (
        _technique(image, planned, frame),
        _space(image, frame),
        _diagonal(image, planned, frame),
        _rims(image, frame),
        _supporting(image, planned, frame),
        _subject(image, planned, frame),
        _focus(image, frame),
        _light(image, planned, frame),
    )
    return Overlay(
        width,
        height,
        shapes.number(TEXT_SIZE * frame.longer),
        tuple(layer for layer in layers if layer.marks),
        _describe(image, planned),
    )


def _subject(image: MeasuredImageRecord, planned: Planned, frame: _Frame) -> Layer:
    marks: list[Mark] = []
    if planned.subject is not None:
        marks += _planned_place(planned.subject, planned.subject_tolerance, frame)
    if image.subject.bbox is not None:
        box = frame.box(image.subject.bbox)
        marks.append(Mark(shapes.corners(box, CORNER_ARM * frame.longer), "measured"))
    if image.subject.centroid is not None:
        centre = frame.point(image.subject.centroid)
        marks.append(Mark(shapes.cross(centre, CROSS_ARM * frame.longer), "measured"))
    return Layer("subject", tuple(marks))


def _planned_place(
    at: tuple[float, float], tolerance: float | None, frame: _Frame
) -> Iterable[Mark]:
    """A small ring where it was planned, and around it how far it may be away."""
    centre = frame.point(at)
    yield Mark(shapes.circle(centre, POINT_RADIUS * frame.longer), "planned")
    if tolerance:
        yield Mark(shapes.circle(centre, tolerance * frame.diagonal), "planned")


def _supporting(image: MeasuredImageRecord, planned: Planned, frame: _Frame) -> Layer:
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


def _beside(at: Point, text: str, frame: _Frame) -> Label:
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


def _technique(image: MeasuredImageRecord, planned: Planned, frame: _Frame) -> Layer:
    if planned.technique is None:
        return Layer("technique", ())
    fit = image.technique_fit.get(planned.technique)
    near = None if fit is None else frame.point(fit.point)
    lines = technique_lines(planned.technique, frame.width, frame.height, near)
    return Layer("technique", tuple(Mark(shapes.polyline(*line), "guide") for line in lines))


def _diagonal(image: MeasuredImageRecord, planned: Planned, frame: _Frame) -> Layer:
    marks = []
    if planned.diagonal is not None:
        ends = shapes.line_across(planned.diagonal, frame.width, frame.height)
        marks += [Mark(shapes.polyline(*ends), "planned")] if ends else []
    if image.diagonal is not None:
        start, end = (frame.point(position) for position in image.diagonal.ends)
        marks.append(Mark(shapes.polyline(start, end), "measured"))
    return Layer("diagonal", tuple(marks))


def _rims(image: MeasuredImageRecord, frame: _Frame) -> Layer:
    return Layer(
        "rims",
        tuple(
            Mark(
                shapes.ellipse(
                    frame.point(rim.centre),
                    rim.semi_axes[0] * frame.diagonal,
                    rim.semi_axes[1] * frame.diagonal,
                    rim.angle_deg,
                ),
                "measured",
            )
            for rim in image.camera_elevation.ellipses
        ),
    )


def _space(image: MeasuredImageRecord, frame: _Frame) -> Layer:
    region = image.negative_space.largest_region
    if region is None:
        return Layer("space", ())
    return Layer("space", (Mark(shapes.rectangle(frame.box(region.bbox)), "measured"),))


def _focus(image: MeasuredImageRecord, frame: _Frame) -> Layer:
    if image.focus.sharpest_at is None:
        return Layer("focus", ())
    centre = frame.point(image.focus.sharpest_at)
    radius = POINT_RADIUS * frame.longer
    marks = tuple(Mark(shapes.circle(centre, radius * times), "measured") for times in (1.0, 2.0))
    return Layer("focus", marks)


def _light(image: MeasuredImageRecord, planned: Planned, frame: _Frame) -> Layer:
    """A dial seen from above: the subject in the middle, the camera at 6."""
    if image.light.clock is None and planned.light is None:
        return Layer("light", ())
    radius = DIAL_RADIUS * frame.longer
    centre = _quiet_corner(image, frame, radius)
    marks = [Mark(shapes.circle(centre, radius), "plate")]
    marks += [
        Mark(
            shapes.polyline(
                shapes.on_dial(centre, radius * TICK_FROM, hour),
                shapes.on_dial(centre, radius, hour),
            ),
            "guide",
        )
        for hour in FOUR_TICKS
    ]
    marks.append(Mark(shapes.circle(centre, radius * HUB_SHARE), "guide"))
    if planned.light is not None:
        marks.append(Mark(_ray(centre, radius, planned.light), "planned"))
    if image.light.clock is not None:
        marks.append(Mark(_ray(centre, radius, image.light.clock), "measured"))
    return Layer("light", tuple(marks))


def _ray(centre: Point, radius: float, hours: float) -> str:
    """The way the light takes: from the rim towards the subject."""
    return shapes.arrow(
        shapes.on_dial(centre, radius * ARROW_FROM, hours),
        shapes.on_dial(centre, radius * ARROW_TO, hours),
        radius * HEAD_SHARE,
    )


def _quiet_corner(image: MeasuredImageRecord, frame: _Frame, radius: float) -> Point:
    """The corner where a dial hides least of what was found."""
    inset = radius + DIAL_MARGIN * frame.longer
    found = [frame.box(element.bbox) for element in image.elements]
    if image.subject.bbox is not None:
        found.append(frame.box(image.subject.bbox))

    def hidden(centre: Point) -> float:
        dial = Box(centre.x - radius, centre.y - radius, centre.x + radius, centre.y + radius)
        return sum(dial.intersection_over_union(box) for box in found)

    right, bottom = frame.width - inset, frame.height - inset
    candidates = (
        Point(right, bottom),
        Point(inset, bottom),
        Point(right, inset),
        Point(inset, inset),
    )
    return min(candidates, key=hidden)


def _describe(image: MeasuredImageRecord, planned: Planned) -> str:
    said = []
    if image.subject.centroid is not None:
        said.append(f"Subject measured at {place_text(*image.subject.centroid)}.")
    if planned.subject is not None:
        said.append(f"Subject planned at {place_text(*planned.subject)}.")
    if image.elements:
        said.append(f"Supporting elements found: {len(image.elements)}.")
    if planned.supporting:
        said.append(f"Planned: {listed([thing.name for thing in planned.supporting])}.")
    if image.light.clock is not None:
        hours = image.light.clock
        said.append(f"Light measured from {clock(hours)}, {light_words(hours)}.")
    if planned.light is not None:
        said.append(f"Light planned from {clock(planned.light)}, {light_words(planned.light)}.")
    return " ".join(said) or "Nothing could be marked in this picture."
