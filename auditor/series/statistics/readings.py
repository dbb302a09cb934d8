"""Which reading a set is judged by, and which of its values are known best."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from statistics import median

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.quantities.set_rules import (
    LEAST_PICTURES_FOR_OUTLIERS,
    LEAST_PICTURES_WITH_USUAL_SPREAD,
)
from auditor.series.statistics.followed_quantity import Read, Reading, SetQuantity
from auditor.series.statistics.robust import qn_spread

LEAST_PICTURES_FOR_CENTRE = 3  # with fewer a centre means little


def choose_readings(
    quantity: SetQuantity, measured: Sequence[MeasuredPhotograph]
) -> dict[str, Reading]:
    """By file, the readings with the least spread, shifted to the median of the first."""
    first, *others = (_read_all(read, measured) for read in (quantity.read, *quantity.others))
    # Only the first reading has a level of its own: without it the others are not used.
    if len(first) < LEAST_PICTURES_FOR_CENTRE:
        return first
    chosen, least = first, _penalised_spread(quantity, first, len(measured))
    for other in others:
        spread = _penalised_spread(quantity, other, len(measured))
        if len(other) >= len(first) and spread < least:
            chosen, least = other, spread
    if chosen is first:
        return chosen
    shift = median(r.value for r in first.values()) - median(r.value for r in chosen.values())
    return {file: replace(r, value=r.value + shift) for file, r in chosen.items()}


def best_known_values(readings: Collection[Reading]) -> list[float]:
    """The values with the smallest tolerance if they are enough, otherwise all values.

    Vague values would widen the spread of the set.
    """
    least = min(reading.tolerance for reading in readings)
    best = [reading.value for reading in readings if reading.tolerance <= least]
    if len(best) < LEAST_PICTURES_FOR_OUTLIERS:
        return [reading.value for reading in readings]
    return best


def _read_all(read: Read, measured: Sequence[MeasuredPhotograph]) -> dict[str, Reading]:
    found = ((picture.file, read(picture)) for picture in measured)
    return {file: reading for file, reading in found if reading is not None}


def _penalised_spread(
    quantity: SetQuantity, readings: Mapping[str, Reading], n_pictures: int
) -> float:
    """Spread, at least the smallest that is assumed, times pictures over best known values.

    The factor is there because a few pictures that happen to agree do not show how a set was made.
    """
    is_known = quantity.rule.usual_spread is not None
    least = LEAST_PICTURES_WITH_USUAL_SPREAD if is_known else LEAST_PICTURES_FOR_OUTLIERS
    if len(readings) < least:
        return math.inf
    best = best_known_values(readings.values())
    return max(quantity.rule.least_spread, qn_spread(best)) * n_pictures / len(best)
