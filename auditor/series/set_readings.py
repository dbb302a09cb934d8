"""How each quantity that is followed over the set is read from a picture.

Most are read from the field that their rule names; exposure and colour temperature are not.

Units, smallest noticeable deviations and smallest spreads are in `auditor.quantities`. Contrast,
saturation and palette are not here: they have rules of their own in `auditor.series.colour`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, TypeVar

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.tone import lightness_ev
from auditor.quantities import FOLLOWED, SetRule, set_rule
from auditor.quantity import MOST_DOUBT, Quantity
from auditor.series.statistics.followed_quantity import Read, Reading, SetQuantity
from auditor.series.white_balance.set_temperatures import SetTemperature

Value = TypeVar("Value")

# Share of the frame below which the ratio of two sizes says nothing (common practice, no source).
LEAST_FRACTION = 0.01


def _trusted(quantity: Quantity[Value]) -> Value | None:
    if quantity.doubt is None or quantity.doubt > MOST_DOUBT:
        return None
    return quantity.value


def _reader(rule: SetRule) -> Read | None:
    """Reader of a quantity by its rule; None if the rule names no field."""
    if rule.read_from is None:
        return None
    field, attribute = rule.read_from

    def read(picture: MeasuredPhotograph) -> Reading | None:
        quantity: Quantity[Any] = getattr(picture, field)
        value = _trusted(quantity)
        if value is None:
            return None
        tolerance = quantity.tolerance if rule.must_exceed_tolerance else 0
        return Reading(getattr(value, attribute), tolerance or 0)

    return read


def _exposure(picture: MeasuredPhotograph) -> Reading | None:
    return Reading(picture.tone.exposure_ev, 0)


def _lightness(picture: MeasuredPhotograph) -> Reading | None:
    return Reading(lightness_ev(picture.tone), 0)


def _midtones(picture: MeasuredPhotograph) -> Reading | None:
    return Reading(picture.tone.midtone_ev, 0)


def _size_in_octaves(fraction: float) -> float:
    return math.log2(fraction + LEAST_FRACTION)


def _emptiness_in_octaves(fraction: float) -> float:
    """Compare empty space by the ratio of the space that is not empty."""
    return -_size_in_octaves(1 - fraction)


# Sizes are compared by their ratio too: the spread of small sizes is always small.
SCALES = {"subject_size": _size_in_octaves, "negative_space": _emptiness_in_octaves}
SET_QUANTITIES: tuple[SetQuantity, ...] = tuple(
    SetQuantity(name, read, scale=SCALES.get(name))
    for name in FOLLOWED
    if (read := _reader(set_rule(name))) is not None
)


def exposure(shared: Mapping[str, Reading]) -> SetQuantity:
    """Exposure: means over whole frames, and over what the pictures share."""
    return SetQuantity(
        "exposure",
        _exposure,
        others=(_lightness, _midtones, lambda picture: shared.get(picture.file)),
    )


def white_balance(temperatures: Mapping[str, SetTemperature]) -> SetQuantity:
    """Colour temperature: the one that is known best for each picture."""

    def read(picture: MeasuredPhotograph) -> Reading | None:
        found = temperatures.get(picture.file)
        return None if found is None else Reading(found.mired, found.tolerance)

    return SetQuantity("colour_temperature", read)
