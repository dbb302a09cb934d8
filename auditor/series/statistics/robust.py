"""Robust centre and spread of plain and of circular quantities, and the outlier rule."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.distance import pdist
from scipy.stats import norm, t

MAD_TO_SIGMA = 1.4826  # of a normal distribution: 1 / norm.ppf(0.75)
HOURS = 12.0
DIAL_STEPS = 720  # one minute of the dial: finer than any light direction can be told

# Of Qn, for a normal distribution: 1 / (sqrt(2) * norm.ppf(5 / 8)).
QN_TO_SIGMA = 2.2219
# Degrees of freedom of Qn over those of a standard deviation: its efficiency (Rousseeuw and Croux,
# Alternatives to the Median Absolute Deviation, 1993).
QN_EFFICIENCY = 0.82
# And what of them is lost in very small samples: with it no more than one of twenty pictures is
# named in drawn sets of 5 and more that have no fault.
QN_LOST_FREEDOM = 1.0

# Below this the spread of one side is itself known to no better than a third (drawn samples).
LEAST_VALUES_A_SIDE = 12

# Over all pictures and quantities of one set together, the probability of naming a picture that
# does not leave the set.
FALSE_ALARM_PROBABILITY = 0.05


def small_sample_factor(n: int) -> float:
    """Correct the median absolute deviation of few values, which comes out too small.

    Croux and Rousseeuw, Time-efficient algorithms for two highly robust estimators of scale
    (1992), give n / (n - 0.8) for n > 9; for fewer values their table, kept from memory.
    """
    table = {2: 1.196, 3: 1.495, 4: 1.363, 5: 1.206, 6: 1.200, 7: 1.140, 8: 1.129, 9: 1.107}
    return table.get(n, n / (n - 0.8))


def centre_and_spread(values: Sequence[float]) -> tuple[float, float]:
    """Median and scaled median absolute deviation of two or more values."""
    array = np.asarray(values, dtype=np.float64)
    centre = float(np.median(array))
    return centre, _scaled(np.abs(array - centre))


def qn_spread(values: Sequence[float] | NDArray[np.float64]) -> float:
    """Spread of two or more values by their differences, Qn of Rousseeuw and Croux (1993).

    Half of the values may be anything, as for the median absolute deviation, but of few values it
    tells more than twice as much. The corrections for small samples are theirs, from memory.
    """
    array = np.asarray(values, dtype=np.float64)
    n = array.size
    half = n // 2 + 1
    nth = half * (half - 1) // 2 - 1
    table = {2: 0.399, 3: 0.994, 4: 0.512, 5: 0.844, 6: 0.611, 7: 0.857, 8: 0.669, 9: 0.872}
    factor = table.get(n, n / (n + (1.4 if n % 2 else 3.8)))
    return float(np.partition(pdist(array[:, np.newaxis]), nth)[nth]) * QN_TO_SIGMA * factor


def one_sided_spreads(deviations: Sequence[float]) -> tuple[float, float]:
    """Spread below and above the centre, of signed deviations from it.

    A quantity with a ceiling, such as sharpness, has nearly all its values just under it and a long
    tail below; one spread for both sides would call the whole tail outliers. A side of fewer than
    `LEAST_VALUES_A_SIDE` values says too little of its own and answers 0.
    """
    array = np.asarray(deviations, dtype=np.float64)
    below, above = (
        _scaled(side) if side.size >= LEAST_VALUES_A_SIDE else 0.0
        for side in (-array[array <= 0], array[array >= 0])
    )
    return below, above


def circular_centre_and_spread(hours: Sequence[float]) -> tuple[float, float]:
    """The same for clock positions: the point of the dial nearest to all, and the spread around it.

    Returns
    -------
    centre : float
        In (0, 12].
    spread : float
        In hours.
    """
    array = np.asarray(hours, dtype=np.float64)
    dial = np.arange(1, DIAL_STEPS + 1, dtype=np.float64) * (HOURS / DIAL_STEPS)
    apart = np.abs(circular_deviation(array[:, np.newaxis], dial[np.newaxis, :]))
    total = apart.sum(axis=0)
    best = dial[np.isclose(total, total.min(), atol=1e-9)]
    # With an even number of values a whole stretch of the dial is nearest; its middle is meant.
    centre = _middle_of_arc(best)
    return centre, _scaled(np.abs(circular_deviation(array, centre)))


def circular_deviation(
    hours: NDArray[np.float64] | float, centre: NDArray[np.float64] | float
) -> NDArray[np.float64]:
    """Shortest way round the dial from the centre, in [-6, 6) hours, clockwise positive."""
    return (np.asarray(hours) - centre + HOURS / 2) % HOURS - HOURS / 2


def outlier_threshold(n_values: int, n_quantities: int) -> float:
    """How many spreads from the centre a value must lie to leave the set.

    Bonferroni over all values of all quantities, so that the chance of any false alarm in the
    whole set stays near `FALSE_ALARM_PROBABILITY`, for 5 pictures as for 500.
    """
    per_value = FALSE_ALARM_PROBABILITY / max(1, n_values * n_quantities)
    return float(norm.ppf(1 - per_value / 2))


def outlier_limit(
    n_values: int,
    n_quantities: int,
    spread: float,
    least_spread: float,
    *,
    n_readings: int = 1,
) -> float:
    """Distance from the centre beyond which a value leaves the set.

    Parameters
    ----------
    n_values, n_quantities : int
    spread : float
        Of the set, by `qn_spread`. Of few values it is itself vague: Student's t holds the false
        alarms to `FALSE_ALARM_PROBABILITY` of the pictures, where they are too few for a promise
        for the whole set.
    least_spread : float
        Known beforehand, so that it needs no such care.
    n_readings : int
        Of which one was chosen because the set is steady in it: luck has as many tries.
    """
    threshold = outlier_threshold(n_values, n_quantities * n_readings)
    freedom = max(1.0, QN_EFFICIENCY * (n_values - 1) - QN_LOST_FREEDOM)
    per_value = FALSE_ALARM_PROBABILITY / (n_quantities * n_readings)
    vague = float(t.ppf(1 - per_value / 2, freedom))
    return max(threshold * least_spread, max(threshold, vague) * spread)


def _scaled(absolute_deviations: NDArray[np.float64]) -> float:
    factor = small_sample_factor(absolute_deviations.size)
    return float(np.median(absolute_deviations)) * MAD_TO_SIGMA * factor


def _middle_of_arc(positions: NDArray[np.float64]) -> float:
    angles = positions * (2 * math.pi / HOURS)
    middle = math.atan2(float(np.sin(angles).mean()), float(np.cos(angles).mean()))
    hours = middle * HOURS / (2 * math.pi)
    return hours if hours > 0 else hours + HOURS
