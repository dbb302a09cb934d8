"""Mixed light over a picture: a tint where each light falls, with its colour temperature."""

from __future__ import annotations

import math
from collections.abc import Sequence

from auditor.geometry import Box, Point
from auditor.page.drawing import shapes
from auditor.page.drawing.labels import Named
from auditor.page.drawing.layers import Frame, Layer, Mark, Role
from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.wording.mixed_light import LitPlaces, lit_places
from auditor.wording.numbers import kelvin

LAYER = "lights"


def draw_mixed_light(picture: MeasuredPictureRecord, frame: Frame) -> Layer:
    """Tint where each light falls, the warmest and the coolest in their own way."""
    lights = _lights(picture)
    kelvins = [light.cct_k for light in lights]
    marks = tuple(
        Mark(
            "".join(shapes.rectangle(frame.box(run)) for run in light.runs),
            _role(light.cct_k, kelvins),
        )
        for light in lights
        if light.runs
    )
    return Layer(LAYER, marks)


def named_lights(picture: MeasuredPictureRecord, frame: Frame) -> list[Named]:
    """Each light's colour temperature, to be written where it falls."""
    return [
        Named(
            _middle_stretch([frame.box(run) for run in light.runs]),
            kelvin(light.cct_k),
            "measured",
            is_area=True,
            layer=LAYER,
        )
        for light in _lights(picture)
        if light.runs
    ]


def _lights(picture: MeasuredPictureRecord) -> list[LitPlaces]:
    return list(lit_places(picture.colour_temperature))


def _role(cct_k: float, kelvins: Sequence[float]) -> Role:
    if cct_k == max(kelvins):
        return "cool"
    return "warm" if cct_k == min(kelvins) else "between"


def _middle_stretch(boxes: Sequence[Box]) -> Box:
    """The stretch of a light that is nearest to its middle."""
    area = sum(box.area_fraction for box in boxes)
    middle = Point(
        sum(box.centre.x * box.area_fraction for box in boxes) / area,
        sum(box.centre.y * box.area_fraction for box in boxes) / area,
    )
    return min(boxes, key=lambda box: math.hypot(box.centre.x - middle.x, box.centre.y - middle.y))
