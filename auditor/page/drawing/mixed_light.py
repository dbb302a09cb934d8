"""Mixed light over a picture: a tint where each light falls, with its colour temperature."""

from __future__ import annotations

import math
from collections.abc import Sequence

from auditor.geometry import Box, Point
from auditor.page.drawing import shapes
from auditor.page.drawing.layers import Frame, Label, Layer, Mark, Role
from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.wording.mixed_light import lit_places
from auditor.wording.numbers import kelvin


def draw_mixed_light(picture: MeasuredPictureRecord, frame: Frame) -> Layer:
    """Tint where each light falls, the warmest and the coolest in their own way, and name it."""
    every = list(lit_places(picture.colour_temperature))
    kelvins = [light.cct_k for light in every]
    lights = [light for light in every if light.runs]
    marks, labels = [], []
    for light in lights:
        boxes = [frame.box(run) for run in light.runs]
        path = "".join(shapes.rectangle(box) for box in boxes)
        marks.append(Mark(path, _role(light.cct_k, kelvins)))
        labels.append(_label(boxes, kelvin(light.cct_k)))
    return Layer("lights", tuple(marks), tuple(labels))


def _role(cct_k: float, kelvins: Sequence[float]) -> Role:
    if cct_k == max(kelvins):
        return "cool"
    return "warm" if cct_k == min(kelvins) else "between"


def _label(boxes: Sequence[Box], text: str) -> Label:
    """A word on the stretch of a light that is nearest to its middle."""
    area = sum(box.area_fraction for box in boxes)
    middle = Point(
        sum((box.left + box.right) / 2 * box.area_fraction for box in boxes) / area,
        sum((box.top + box.bottom) / 2 * box.area_fraction for box in boxes) / area,
    )
    centres = [Point((box.left + box.right) / 2, (box.top + box.bottom) / 2) for box in boxes]
    at = min(centres, key=lambda c: math.hypot(c.x - middle.x, c.y - middle.y))
    return Label(shapes.number(at.x), shapes.number(at.y), text, "middle", "measured")
