"""Follow one quantity over the set and name the pictures that leave it."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from statistics import median

from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.quantities import N_QUANTITIES, Reading, SetQuantity
from auditor.series.statistics.robust import (
    centre_and_spread,
    circular_centre_and_spread,
    circular_deviation,
    one_sided_spreads,
    outlier_limit,
    qn_spread,
)

# With fewer pictures nobody can say which is the rule and which the exception.
LEAST_PICTURES_FOR_CENTRE = 3
LEAST_PICTURES_FOR_OUTLIERS = 5
# Of a set that would be named in one quantity; of more, nobody can say which is the rule.
MOST_NAMED_SHARE = 1 / 3
SIGNIFICANT_DIGITS = 2  # of an amount in a sentence

# Around the dial from 12, the camera standing at 6.
DIRECTIONS = (
    "back",
    "back right",
    "right",
    "front right",
    "front",
    "front left",
    "left",
    "back left",
)
HOURS_PER_DIRECTION = 1.5


@dataclass(frozen=True, slots=True)
class Outlier:
    """A picture that leaves the set in one quantity.

    Attributes
    ----------
    file : str
    value : float
        In the quantity's unit.
    deviation : float
        Signed distance from the centre, in the same unit.
    message : str
        For a photographer: ``"38 mired warmer than the rest of the set"``.
    """

    file: str
    value: float
    deviation: float
    message: str


@dataclass(frozen=True, slots=True)
class SeriesQuantity:
    """One quantity over the set.

    Attributes
    ----------
    quantity, unit : str
    values : tuple of (str, float)
        File and value; pictures without a trusted value are left out. Where the quantity is read
        in several ways, by that in which the set is steadiest, at the level of the first.
    centre, spread : float or None
        Robust (median and scaled median absolute deviation; circular for directions); None with
        fewer than three values.
    outliers : tuple of Outlier
        In the order of the pictures.
    """

    quantity: str
    unit: str
    values: tuple[tuple[str, float], ...]
    centre: float | None
    spread: float | None
    outliers: tuple[Outlier, ...]


def follow(quantity: SetQuantity, measured: Sequence[MeasuredPhotograph]) -> SeriesQuantity:
    """Follow one quantity over a set of pictures, by the reading in which the set is steadiest."""
    readings = steadiest_readings(quantity, measured)
    values = tuple((file, reading.value) for file, reading in readings.items())
    if len(values) < LEAST_PICTURES_FOR_CENTRE:
        return SeriesQuantity(quantity.name, quantity.unit, values, None, None, ())
    summarise = circular_centre_and_spread if quantity.circular else centre_and_spread
    centre, spread = summarise(_surest(readings.values()))
    outliers = _outliers(quantity, readings, centre)
    return SeriesQuantity(quantity.name, quantity.unit, values, centre, spread, outliers)


def steadiest_readings(
    quantity: SetQuantity, measured: Sequence[MeasuredPhotograph]
) -> dict[str, Reading]:
    """By file, the reading that the set holds most evenly, at the level of the first."""
    # Nothing is judged by an average alone that no picture's own reading gives a level.
    first, *others = (_read(read, measured) for read in (quantity.read, *quantity.others))
    chosen, least = first, _unsteadiness(quantity, first, len(measured))
    if len(first) < LEAST_PICTURES_FOR_CENTRE:
        return first
    for other in others:
        spread = _unsteadiness(quantity, other, len(measured))
        if len(other) >= len(first) and spread < least:
            chosen, least = other, spread
    if chosen is first:
        return chosen
    level = median(r.value for r in first.values()) - median(r.value for r in chosen.values())
    return {file: replace(r, value=r.value + level) for file, r in chosen.items()}


def follow_changes(
    name: str,
    unit: str,
    values: tuple[tuple[str, float], ...],
    octaves: Sequence[float],
    grain: float,
    said: Callable[[float], str],
) -> SeriesQuantity:
    """Follow a quantity in which pictures leave the set by a factor.

    Parameters
    ----------
    name, unit : str
    values : tuple of (str, float)
        Of each file.
    octaves : sequence of float
        By how much each leaves the set, binary logarithm; 0 where it does not.
    grain : float
        Added to the values before the logarithm.
    said : callable
        What is said of so many octaves.
    """
    if len(values) < LEAST_PICTURES_FOR_CENTRE:
        return SeriesQuantity(name, unit, values, None, None, ())
    centre, spread = centre_and_spread([value for _, value in values])
    found = [
        Outlier(file, value, (value + grain) * (1 - 2**-change), said(change))
        for (file, value), change in zip(values, octaves, strict=True)
        if change
    ]
    return SeriesQuantity(name, unit, values, centre, spread, exceptions(found, len(values)))


def exceptions(found: Sequence[Outlier], n_pictures: int) -> tuple[Outlier, ...]:
    """The same, or none where they are too many to be exceptions: two ways of working, then."""
    return tuple(found) if len(found) <= max(1, MOST_NAMED_SHARE * n_pictures) else ()


def _read(
    read: Callable[[MeasuredPhotograph], Reading | None], measured: Sequence[MeasuredPhotograph]
) -> dict[str, Reading]:
    found = ((picture.file, read(picture)) for picture in measured)
    return {file: reading for file, reading in found if reading is not None}


def _unsteadiness(quantity: SetQuantity, readings: Mapping[str, Reading], n_pictures: int) -> float:
    """Spread, as far as it is more than the quantity's least; the more, the fewer are known surely.

    A few pictures that happen to be alike are not what a set was made by.
    """
    if len(readings) < LEAST_PICTURES_FOR_OUTLIERS:
        return math.inf
    surest = _surest(readings.values())
    return max(quantity.least_spread, qn_spread(surest)) * n_pictures / len(surest)


def _surest(readings: Collection[Reading]) -> list[float]:
    """The values that are known best, if they are enough: what is vague widens no spread."""
    least = min(reading.tolerance for reading in readings)
    surest = [reading.value for reading in readings if reading.tolerance <= least]
    if len(surest) < LEAST_PICTURES_FOR_OUTLIERS:
        return [reading.value for reading in readings]
    return surest


def _outliers(
    quantity: SetQuantity, readings: Mapping[str, Reading], centre: float
) -> tuple[Outlier, ...]:
    if len(readings) < LEAST_PICTURES_FOR_OUTLIERS:
        return ()
    deviations = {
        file: float(circular_deviation(reading.value, centre))
        if quantity.circular
        else reading.value - centre
        for file, reading in readings.items()
    }
    surest = [value - centre for value in _surest(readings.values())]
    spread = qn_spread(list(deviations.values()) if quantity.circular else surest)
    below, above = limits(
        list(deviations.values()),
        spread,
        quantity.noticeable,
        quantity.least_spread,
        1 + len(quantity.others),
    )
    apart = _apart_by_scale(quantity, readings)
    found = []
    for file, deviation in deviations.items():
        sentence, limit = (quantity.higher, above) if deviation > 0 else (quantity.lower, below)
        reading = readings[file]
        if sentence and abs(deviation) > max(limit, reading.tolerance) and file in apart:
            message = sentence.format(
                amount=amount_words(abs(deviation)),
                value=clock_words(reading.value),
                centre=clock_words(centre),
            )
            found.append(Outlier(file, reading.value, deviation, message))
    return exceptions(found, len(readings))


def _apart_by_scale(quantity: SetQuantity, readings: Mapping[str, Reading]) -> Set[str]:
    """Files of the pictures that lie apart on the quantity's own scale; all where it has none."""
    if quantity.scale is None:
        return readings.keys()
    scaled = {file: quantity.scale(reading.value) for file, reading in readings.items()}
    middle = median(scaled.values())
    limit = outlier_limit(len(scaled), N_QUANTITIES, qn_spread(list(scaled.values())), 0.0)
    return {file for file, value in scaled.items() if abs(value - middle) > limit}


def limits(
    deviations: Sequence[float],
    spread: float,
    noticeable: float,
    least_spread: float,
    n_readings: int = 1,
) -> tuple[float, float]:
    """How far below and above the centre a picture may lie before it leaves the set.

    Parameters
    ----------
    deviations : sequence of float
        Of all pictures from the centre of one quantity.
    spread : float
        Theirs, robust.
    noticeable, least_spread : float
        As in `SetQuantity`.
    n_readings : int
        Of which the steadiest was chosen.
    """
    below, above = (
        max(
            noticeable,
            outlier_limit(
                len(deviations),
                N_QUANTITIES,
                max(side, spread),
                least_spread,
                n_readings=n_readings,
            ),
        )
        for side in one_sided_spreads(deviations)
    )
    return below, above


def clock_words(hours: float) -> str:
    """Say a clock position on the table as a direction, to the nearest of eight: ``back left``."""
    return DIRECTIONS[round(hours / HOURS_PER_DIRECTION) % len(DIRECTIONS)]


def ratio_words(ratio: float) -> str:
    """How much more or less, as a percentage up to twice as much."""
    return f"by {abs(ratio - 1) * 100:.0f}%" if ratio <= 2 else f"about {ratio:.0f} times as much"


def amount_words(value: float) -> str:
    """Two significant digits, written without an exponent: 38, 1.2, 0.0061."""
    rounded = float(f"{value:.{SIGNIFICANT_DIGITS}g}")
    return f"{rounded:.0f}" if rounded >= 10 else f"{rounded:.6f}".rstrip("0").rstrip(".")
