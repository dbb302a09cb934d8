"""Which quantities are followed over the set, and how each is read from a picture.

Units, smallest noticeable deviations and smallest spreads are in `auditor.quantities`. Contrast,
saturation and palette are not here: they have rules of their own in `auditor.series.colour`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TypeVar

from auditor.colour_signature import mired_from_warmth
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.tone import lightness_ev
from auditor.quantity import Quantity
from auditor.series.statistics.followed_quantity import LEAST_CONFIDENCE, Reading, SetQuantity
from auditor.series.white_balance.set_temperatures import SetTemperature

Value = TypeVar("Value")

# An average colour farther from D65 than this is that of an object that fills the frame: no picture
# is developed so warm or so cool (common practice, no source).
FARTHEST_AVERAGE_MIRED = 110.0
# Share of the frame below which the ratio of two sizes says nothing (common practice, no source).
LEAST_FRACTION = 0.01


def _trusted(quantity: Quantity[Value]) -> Value | None:
    if quantity.confidence is None or quantity.confidence < LEAST_CONFIDENCE:
        return None
    return quantity.value


def _tint(picture: MeasuredPhotograph) -> Reading | None:
    value = _trusted(picture.colour_temperature)
    return None if value is None else Reading(value.duv, 0)


def _exposure(picture: MeasuredPhotograph) -> Reading | None:
    return Reading(picture.tone.exposure_ev, 0)


def _lightness(picture: MeasuredPhotograph) -> Reading | None:
    return Reading(lightness_ev(picture.tone), 0)


def _midtones(picture: MeasuredPhotograph) -> Reading | None:
    return Reading(picture.tone.midtone_ev, 0)


def _average_mired(picture: MeasuredPhotograph) -> Reading | None:
    warmth = picture.colours.average_warmth
    if warmth is None or abs(warmth) > FARTHEST_AVERAGE_MIRED:
        return None
    return Reading(mired_from_warmth(warmth), 0)


def _subject_size(picture: MeasuredPhotograph) -> Reading | None:
    value = _trusted(picture.subject)
    return None if value is None else Reading(value.area_fraction, 0)


def _negative_space(picture: MeasuredPhotograph) -> Reading | None:
    value = _trusted(picture.negative_space)
    return None if value is None else Reading(value.fraction, picture.negative_space.tolerance or 0)


def _camera_elevation(picture: MeasuredPhotograph) -> Reading | None:
    value = _trusted(picture.camera_elevation)
    return None if value is None else Reading(value.deg, picture.camera_elevation.tolerance or 0)


def _light(picture: MeasuredPhotograph) -> Reading | None:
    value = _trusted(picture.light)
    return None if value is None else Reading(value.clock, picture.light.tolerance or 0)


def _roll(picture: MeasuredPhotograph) -> Reading | None:
    value = _trusted(picture.roll)
    return None if value is None else Reading(value.deg, picture.roll.tolerance or 0)


def _sharpness(picture: MeasuredPhotograph) -> Reading | None:
    value = _trusted(picture.focus)
    return None if value is None else Reading(value.subject_sharpness, 0)


def _size_in_octaves(fraction: float) -> float:
    return math.log2(fraction + LEAST_FRACTION)


def _emptiness_in_octaves(fraction: float) -> float:
    """Compare empty space by the ratio of the space that is not empty."""
    return -_size_in_octaves(1 - fraction)


SET_QUANTITIES: tuple[SetQuantity, ...] = (
    SetQuantity("tint", _tint),
    SetQuantity("exposure", _exposure, others=(_lightness, _midtones)),
    SetQuantity("subject_size", _subject_size, scale=_size_in_octaves),
    SetQuantity("negative_space", _negative_space, scale=_emptiness_in_octaves),
    SetQuantity("camera_elevation", _camera_elevation),
    SetQuantity("light", _light),
    SetQuantity("roll", _roll),
    SetQuantity("subject_sharpness", _sharpness),
)


def white_balance(temperatures: Mapping[str, SetTemperature]) -> SetQuantity:
    """Colour temperature, read from what the comparison of the pictures with each other found."""

    def read(picture: MeasuredPhotograph) -> Reading | None:
        found = temperatures.get(picture.file)
        return None if found is None else Reading(found.mired, found.tolerance)

    return SetQuantity("colour_temperature", read, others=(_average_mired,))
