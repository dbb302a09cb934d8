"""What was planned and what was measured, drawn over a picture.

Everything is in pixels of the preview, y downwards. Planned and measured differ by the style of
their line (dashed, solid) as well as by its colour, and every line is drawn twice, light on dark,
so that it can be seen on any picture. The styles themselves stand in ``static/picture.css``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from auditor.geometry import Box, Point
from auditor.page.drawing import shapes
from auditor.page.drawing.labels import TEXT_SIZES, KeyEntry, Labelling, Named, labels_beside
from auditor.page.drawing.layers import Frame, Layer, Mark, Width
from auditor.page.drawing.light_dial import DIAL_RADIUS, draw_light_dial, quiet_corner
from auditor.page.drawing.measured_marks import (
    POINT_RADIUS,
    draw_additions,
    draw_focus,
    draw_leading,
    draw_level,
    draw_rims,
    draw_space,
)
from auditor.page.drawing.mixed_light import draw_mixed_light, named_lights
from auditor.page.drawing.planned import Planned, PlannedElement, PlannedPlace
from auditor.record.picture_record import MeasuredPictureRecord, TechniqueFitRecord
from auditor.technique_lines import technique_lines
from auditor.wording.marks import (
    LAYER_TITLES,
    SUBJECT_LABEL,
    describe_marks,
    subject_label,
)

# Sizes as fractions of the longer side: they read at 350 px and do not cover the food at 600 px.
CROSS_ARM = 0.022
CORNER_ARM = 0.04
SUBJECT_MARGIN = 0.15  # of the subject's box, on each side, where words may stand


@dataclass(frozen=True, slots=True)
class Overlay:
    """A drawing over one picture, with its description for those who cannot see it.

    Attributes
    ----------
    width, height : int
        Of the drawing.
    text_sizes : mapping of str to str
        Of the words, on a wide page and on a narrow one.
    layers : tuple of Layer
    keys : mapping of str to tuple of KeyEntry
        What the numbers in the drawing stand for, on a wide page and on a narrow one.
    description : str
    """

    width: int
    height: int
    text_sizes: dict[Width, str]
    layers: tuple[Layer, ...]
    keys: dict[Width, tuple[KeyEntry, ...]]
    description: str


@dataclass(frozen=True, slots=True)
class LayerChoice:
    """A layer that the reader can show or hide."""

    name: str
    title: str
    shown: bool


# The plan's main statements are on: more at once would hide the picture.
SHOWN = frozenset({"subject", "supporting", "light", "technique"})
LAYERS = tuple(LayerChoice(name, title, name in SHOWN) for name, title in LAYER_TITLES.items())


def draw_overlay(picture: MeasuredPictureRecord, width: int, height: int) -> Overlay:
    """Draw what is known of a picture over its preview of the given size in pixels."""
    frame = Frame(width, height)
    planned = Planned.of(picture)
    layers: tuple[Layer, ...] = (
        draw_mixed_light(picture, frame),
        _technique(picture, planned, frame),
        draw_space(picture, frame),
        _diagonal(picture, planned, frame),
        draw_leading(picture, frame),
        draw_rims(picture, frame),
        draw_level(picture, frame),
        _supporting(picture, planned, frame),
        _subject(picture, planned, frame),
        draw_focus(picture, frame),
        draw_additions(picture, frame),
        draw_light_dial(picture, planned.light, frame),
    )
    words = {width: _words(picture, planned, frame, width) for width in TEXT_SIZES}
    labels = [label for one in words.values() for label in one.labels]
    layers = tuple(
        replace(layer, labels=tuple(label for label in labels if label.layer == layer.name))
        for layer in layers
        if layer.marks
    )
    return Overlay(
        width,
        height,
        {name: shapes.number(size * frame.longer) for name, size in TEXT_SIZES.items()},
        layers,
        {name: one.key for name, one in words.items()},
        describe_marks(picture),
    )


def _words(
    picture: MeasuredPictureRecord, planned: Planned, frame: Frame, width: Width
) -> Labelling:
    """The words of all layers together, so that they never cover each other."""
    named = [
        *_named_subject(picture, planned, frame),
        *_named_supporting(planned, frame),
        *named_lights(picture, frame),
    ]
    has_dial = bool(planned.light) or picture.light.clock is not None
    taken = [_dial(picture, frame)] if has_dial else []
    return labels_beside(named, frame, taken, _kept_free(picture, frame), width)


def _named_subject(
    picture: MeasuredPictureRecord, planned: Planned, frame: Frame
) -> Iterable[Named]:
    """The subject where it was found, else where it was planned."""
    if picture.subject.bbox is not None:
        box = frame.box(picture.subject.bbox)
        yield Named(box, subject_label(picture), "measured", layer="subject")
    elif planned.subject is not None:
        box, is_area = _place_box(planned.subject, frame)
        yield Named(box, SUBJECT_LABEL, "planned", is_area, layer="subject")


def _place_box(place: PlannedPlace, frame: Frame) -> tuple[Box, bool]:
    """The first box of a planned zone and True, or the planned point and False."""
    if place.boxes:
        return frame.box(place.boxes[0]), True
    centre = frame.point(place.at)
    return Box(*centre, *centre), False


def _named_supporting(planned: Planned, frame: Frame) -> Iterable[Named]:
    """Each planned element by its name at what was taken to be it, else where it was planned."""
    for thing in planned.supporting:
        if thing.taken is not None:
            yield Named(frame.box(thing.taken), thing.name, "measured")
        elif thing.place is not None:
            box, is_area = _place_box(thing.place, frame)
            yield Named(box, thing.name, "planned", is_area)


def _subject(picture: MeasuredPictureRecord, planned: Planned, frame: Frame) -> Layer:
    marks: list[Mark] = []
    if planned.subject is not None:
        marks += _planned_place(planned.subject, frame)
    if picture.subject.bbox is not None:
        box = frame.box(picture.subject.bbox)
        marks.append(Mark(shapes.corners(box, CORNER_ARM * frame.longer), "measured"))
    if picture.subject.centroid is not None:
        centre = frame.point(picture.subject.centroid)
        if planned.subject is not None and not planned.subject.boxes:
            marks.append(Mark(shapes.polyline(frame.point(planned.subject.at), centre), "guide"))
        marks.append(Mark(shapes.cross(centre, CROSS_ARM * frame.longer), "measured"))
    return Layer("subject", tuple(marks))


def _planned_place(place: PlannedPlace, frame: Frame) -> Iterable[Mark]:
    """A zone as a soft area; a point as a small ring; each with how far from it is allowed."""
    reach = (place.tolerance or 0.0) * frame.diagonal
    if place.boxes:
        # One path, so that boxes which overlap are not drawn twice as dark.
        yield Mark("".join(shapes.rounded(frame.box(box), reach) for box in place.boxes), "zone")
        return
    centre = frame.point(place.at)
    yield Mark(shapes.circle(centre, POINT_RADIUS * frame.longer), "planned")
    if reach:
        yield Mark(shapes.circle(centre, reach), "planned")


def _supporting(picture: MeasuredPictureRecord, planned: Planned, frame: Frame) -> Layer:
    """The elements found, and where each planned one was planned and found."""
    arm = CORNER_ARM * frame.longer / 2
    marks: list[Mark] = []
    for thing in planned.supporting:
        if thing.place is not None:
            marks += _place_of_element(thing, thing.place, frame)
        if thing.taken is not None and not thing.is_element:
            marks.append(Mark(shapes.corners(frame.box(thing.taken), arm), "measured"))
    marks += [
        Mark(shapes.corners(frame.box(element.bbox), arm), "measured")
        for element in picture.elements
    ]
    return Layer("supporting", tuple(marks))


def _dial(picture: MeasuredPictureRecord, frame: Frame) -> Box:
    """Around the dial of the light."""
    radius = DIAL_RADIUS * frame.longer
    x, y = quiet_corner(picture, frame, radius)
    return Box(x - radius, y - radius, x + radius, y + radius)


def _kept_free(picture: MeasuredPictureRecord, frame: Frame) -> list[Box]:
    """Where no word should stand: on the middle of the subject."""
    if picture.subject.bbox is None:
        return []
    left, top, right, bottom = frame.box(picture.subject.bbox)
    across, down = SUBJECT_MARGIN * (right - left), SUBJECT_MARGIN * (bottom - top)
    return [Box(left + across, top + down, right - across, bottom - down)]


def _place_of_element(thing: PlannedElement, place: PlannedPlace, frame: Frame) -> Iterable[Mark]:
    """Where an element was planned, unless it is there; and a line to where it is instead."""
    centre = frame.point(place.at)
    if place.boxes:
        if not thing.is_at_place:
            yield Mark("".join(shapes.rectangle(frame.box(box)) for box in place.boxes), "zone")
    else:
        yield Mark(shapes.circle(centre, POINT_RADIUS * frame.longer), "planned")
    if thing.taken is not None and not thing.is_at_place:
        yield Mark(shapes.polyline(centre, frame.box(thing.taken).centre), "guide")


def _technique(picture: MeasuredPictureRecord, planned: Planned, frame: Frame) -> Layer:
    # A technique divides the picture within its border.
    inside = frame.box(picture.border.inside if picture.border else (0.0, 0.0, 1.0, 1.0))
    fits = picture.technique_fit
    marks = (
        mark
        for technique in planned.techniques
        for mark in _one_technique(technique, fits.get(technique), inside, frame)
    )
    return Layer("technique", tuple(marks))


def _one_technique(
    technique: str, fit: TechniqueFitRecord | None, inside: Box, frame: Frame
) -> Iterable[Mark]:
    near = None if fit is None else frame.point(fit.point)
    if near is not None:
        near = Point(near.x - inside.left, near.y - inside.top)
    width, height = inside.right - inside.left, inside.bottom - inside.top
    for line in technique_lines(technique, width, height, near):
        shifted = (Point(point.x + inside.left, point.y + inside.top) for point in line)
        yield Mark(shapes.polyline(*shifted), "guide")
    if fit is not None and fit.outline:
        corners = (frame.point(corner) for corner in fit.outline)
        yield Mark(shapes.polyline(*corners, closed=True), "measured")


def _diagonal(picture: MeasuredPictureRecord, planned: Planned, frame: Frame) -> Layer:
    marks = []
    if planned.diagonal is not None:
        ends = shapes.line_across(planned.diagonal, frame.width, frame.height)
        marks += [Mark(shapes.polyline(*ends), "planned")] if ends else []
    if picture.diagonal is not None:
        start, end = (frame.point(position) for position in picture.diagonal.ends)
        marks.append(Mark(shapes.polyline(start, end), "measured"))
    return Layer("diagonal", tuple(marks))
