"""Follow one quantity over the set and find the pictures that differ from the rest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from statistics import median

import numpy as np

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.quantities import QUANTITIES, SetRule
from auditor.quantities.set_rules import (
    LEAST_PICTURES_FOR_OUTLIERS,
    LEAST_PICTURES_WITH_USUAL_SPREAD,
)
from auditor.series.statistics.followed_quantity import N_QUANTITIES, Reading, SetQuantity
from auditor.series.statistics.readings import (
    LEAST_PICTURES_FOR_CENTRE,
    best_known_values,
    choose_readings,
)
from auditor.series.statistics.robust import (
    SMALL_SET,
    centre_and_spread,
    circular_centre_and_spread,
    circular_deviation,
    is_apart,
    one_sided_spreads,
    outlier_limit,
    qn_spread,
)
from auditor.series.statistics.series_quantity import Outlier, SeriesQuantity

# Share of the set beyond which outliers of one quantity are no exceptions but a second way of
# working (common practice, no source).
MOST_OUTLIERS_SHARE = 1 / 3
# Share of the values that must lie near the centre; with fewer, "most pictures" would be wrong.
LEAST_NEAR_CENTRE_SHARE = 0.5


def follow(quantity: SetQuantity, measured: Sequence[MeasuredPhotograph]) -> SeriesQuantity:
    """Follow one quantity over a set of pictures, by the reading with the least spread."""
    readings = choose_readings(quantity, measured)
    values = tuple((file, reading.value) for file, reading in readings.items())
    if len(values) < LEAST_PICTURES_FOR_CENTRE:
        return SeriesQuantity(quantity.name, quantity.unit, values, None, None, ())
    rule = quantity.rule
    summarise = circular_centre_and_spread if rule.circular else centre_and_spread
    centre, spread = summarise(best_known_values(readings.values()))
    apart = _apart(quantity, readings, centre)
    return SeriesQuantity(
        quantity.name,
        quantity.unit,
        values,
        centre,
        spread,
        unless_too_many(apart, len(readings)),
        _is_several(rule, [value for _, value in values], centre),
        None if apart else _farthest(rule, readings, centre),
    )


def follow_changes(
    name: str, values: tuple[tuple[str, float], ...], octaves: Sequence[float], grain: float
) -> SeriesQuantity:
    """Follow a quantity in which outliers differ from the set by a factor.

    Parameters
    ----------
    name : str
        In `auditor.quantities`.
    values : tuple of (str, float)
        Of each file.
    octaves : sequence of float
        Binary logarithm of the factor of each picture; 0 for a picture that is no outlier.
    grain : float
        Added to the values before the logarithm.
    """
    unit = QUANTITIES[name].unit
    if len(values) < LEAST_PICTURES_FOR_CENTRE:
        return SeriesQuantity(name, unit, values, None, None, ())
    centre, spread = centre_and_spread([value for _, value in values])
    found = [
        Outlier(file, value, (value + grain) * (1 - 2**-change), ratio=2**change)
        for (file, value), change in zip(values, octaves, strict=True)
        if change
    ]
    return SeriesQuantity(name, unit, values, centre, spread, unless_too_many(found, len(values)))


def unless_too_many(found: Sequence[Outlier], n_pictures: int) -> tuple[Outlier, ...]:
    """The same outliers, or none if they are a large part of the set: two ways of working then."""
    return tuple(found) if len(found) <= max(1, MOST_OUTLIERS_SHARE * n_pictures) else ()


def deviation_limits(
    deviations: Sequence[float], spread: float, rule: SetRule, n_readings: int = 1
) -> tuple[float, float]:
    """Distances below and above the centre beyond which a picture is an outlier.

    Parameters
    ----------
    deviations : sequence of float
        Of all pictures from the centre of one quantity.
    spread : float
        Robust spread of these.
    rule : SetRule
    n_readings : int
        Number of readings of which the one with the least spread was chosen.
    """
    below, above = (
        max(
            rule.noticeable,
            outlier_limit(
                len(deviations),
                N_QUANTITIES,
                max(side, spread),
                rule.least_spread,
                n_readings=n_readings,
            ),
        )
        for side in one_sided_spreads(deviations)
    )
    return below, above


def _apart(quantity: SetQuantity, readings: Mapping[str, Reading], centre: float) -> list[Outlier]:
    """The pictures that lie apart from the rest, however many they are."""
    rule = quantity.rule
    if rule.usual_spread is not None and len(readings) < SMALL_SET:
        return _apart_in_small_set(quantity, rule.usual_spread, readings, centre)
    if len(readings) < LEAST_PICTURES_FOR_OUTLIERS:
        return []
    deviations = _deviations(rule, [reading.value for reading in readings.values()], centre)
    best_known = _deviations(rule, best_known_values(readings.values()), centre)
    spread = qn_spread(deviations if rule.circular else best_known)
    below, above = deviation_limits(deviations, spread, rule, 1 + len(quantity.others))
    apart = _apart_on_scale(quantity, readings)
    found = []
    for (file, reading), deviation in zip(readings.items(), deviations, strict=True):
        limit, is_fault = (
            (above, rule.higher_is_fault) if deviation > 0 else (below, rule.lower_is_fault)
        )
        if is_fault and abs(deviation) > max(limit, reading.tolerance) and file in apart:
            found.append(Outlier(file, reading.value, deviation))
    return found


def _farthest(rule: SetRule, readings: Mapping[str, Reading], centre: float) -> Outlier | None:
    """The picture that is farthest from the centre, if that is noticeable."""
    if rule.usual_spread is None:
        return None
    away = {file: reading.value - centre for file, reading in readings.items()}
    file = max(away, key=lambda name: abs(away[name]))
    reading = readings[file]
    if abs(away[file]) <= max(rule.noticeable, reading.tolerance):
        return None
    return Outlier(file, reading.value, away[file])


def _apart_in_small_set(
    quantity: SetQuantity, usual_spread: float, readings: Mapping[str, Reading], centre: float
) -> list[Outlier]:
    """The pictures that lie apart by what sets usually spread by, each held against the others."""
    rule = quantity.rule
    found: list[Outlier] = []
    if len(readings) < LEAST_PICTURES_WITH_USUAL_SPREAD:
        return found
    values = [reading.value for reading in readings.values()]
    for place, (file, reading) in enumerate(readings.items()):
        deviation = reading.value - centre
        noticeable = max(rule.noticeable, reading.tolerance)
        is_far = abs(deviation) > noticeable
        if is_far and is_apart(values, place, usual_spread, noticeable, N_QUANTITIES):
            found.append(Outlier(file, reading.value, deviation))
    return found


def _deviations(rule: SetRule, values: Sequence[float], centre: float) -> list[float]:
    """Signed distances from the centre; for clock positions the shortest way round the dial."""
    if rule.circular:
        return [float(hours) for hours in circular_deviation(np.asarray(values), centre)]
    return [value - centre for value in values]


def _apart_on_scale(quantity: SetQuantity, readings: Mapping[str, Reading]) -> Set[str]:
    """Files of the pictures that lie apart on the quantity's second scale; all if it has none."""
    if quantity.scale is None:
        return readings.keys()
    scaled = {file: quantity.scale(reading.value) for file, reading in readings.items()}
    middle = median(scaled.values())
    limit = outlier_limit(len(scaled), N_QUANTITIES, qn_spread(list(scaled.values())), 0.0)
    return {file for file, value in scaled.items() if abs(value - middle) > limit}


def _is_several(rule: SetRule, values: Sequence[float], centre: float) -> bool:
    """Whether the set was shot in several ways on purpose: few of its values are near the centre.

    A deviation that is not noticeable counts as near.
    """
    if not rule.varied_as:
        return False
    n_near = sum(abs(away) <= rule.noticeable for away in _deviations(rule, values, centre))
    return n_near < LEAST_NEAR_CENTRE_SHARE * len(values)
