"""Robust centre and spread of plain and of circular quantities, and the outlier rule."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri, stdtrit  # scipy.stats has the same, and takes long to load

from auditor.series.statistics.pairwise_differences import kth_smallest_difference

MAD_TO_SIGMA = 1.4826  # of a normal distribution: 1 / ndtri(0.75)
HOURS = 12.0
DIAL_STEPS = 720  # one minute of the dial: finer than any light direction can be measured

# Of Qn, for a normal distribution: 1 / (sqrt(2) * ndtri(5 / 8)).
QN_TO_SIGMA = 2.2219
# Degrees of freedom of Qn over those of a standard deviation: its efficiency (Rousseeuw and Croux,
# Alternatives to the Median Absolute Deviation, 1993).
QN_EFFICIENCY = 0.82
# Further degrees of freedom that are subtracted for very small samples: then at most one of twenty
# pictures is flagged in drawn sets of 5 or more without a fault.
QN_LOST_FREEDOM = 1.0

# With fewer values the spread of one side is known only to about a third (drawn samples).
LEAST_VALUES_A_SIDE = 12

# Weight of what sets usually spread by, in degrees of freedom. The method of moments of Smyth
# (2004) gives 2 for the 32 sets of `auditor.quantities.set_rules`, most of which are of careless
# pictures; sets that were made to be shown are more alike. Drawn, by the least spread of four
# independent readings: sets with a spread of 0.15 EV name 95 of 100 pictures changed by 1 EV at 7
# pictures, 93 at 12, and at most one of 200 others; sets with a spread of 0.5 EV name 9 of 100
# unchanged pictures at 5, 7 at 3 and 7, 2 at 12.
USUAL_FREEDOM = 6.0
LEAST_FREEDOM = 0.5  # of a spread of two values
SMALLEST_SET = 3
# From this size on a set is held against its own spread alone.
SMALL_SET = 20

# Probability that any picture of a set without a fault is flagged, over all its pictures and
# quantities together; in the smallest sets that one picture is, over all its quantities.
FALSE_ALARM_PROBABILITY = 0.05


def small_sample_factor(n: int) -> float:
    """Factor that corrects the median absolute deviation of few values, which is too small.

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

    Like the median absolute deviation it tolerates almost half of the values being wrong, and it
    is more than twice as efficient. The corrections for small samples are theirs, from memory.
    """
    array = np.asarray(values, dtype=np.float64)
    n = array.size
    half = n // 2 + 1
    difference = kth_smallest_difference(array, half * (half - 1) // 2)
    table = {2: 0.399, 3: 0.994, 4: 0.512, 5: 0.844, 6: 0.611, 7: 0.857, 8: 0.669, 9: 0.872}
    factor = table.get(n, n / (n + (1.4 if n % 2 else 3.8)))
    return difference * QN_TO_SIGMA * factor


def one_sided_spreads(deviations: Sequence[float]) -> tuple[float, float]:
    """Spread below and above the centre, of signed deviations from it.

    A quantity with an upper limit, such as sharpness, has most of its values just under the limit
    and a long tail below. With one spread for both sides the whole tail would be outliers. The
    spread is 0 for a side of fewer than `LEAST_VALUES_A_SIDE` values.
    """
    array = np.asarray(deviations, dtype=np.float64)
    below, above = (
        _scaled(side) if side.size >= LEAST_VALUES_A_SIDE else 0.0
        for side in (-array[array <= 0], array[array >= 0])
    )
    return below, above


def circular_centre_and_spread(hours: Sequence[float]) -> tuple[float, float]:
    """Median on the dial of clock positions, and the spread around it.

    The median is the point of the dial with the smallest sum of distances.

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
    # For an even number of values all points of an arc have the smallest sum: take its middle.
    centre = _middle_of_arc(best)
    return centre, _scaled(np.abs(circular_deviation(array, centre)))


def circular_deviation(
    hours: NDArray[np.float64] | float, centre: NDArray[np.float64] | float
) -> NDArray[np.float64]:
    """Shortest way round the dial from the centre, in [-6, 6) hours; clockwise is positive."""
    return (np.asarray(hours) - centre + HOURS / 2) % HOURS - HOURS / 2


def outlier_threshold(n_values: int, n_quantities: int) -> float:
    """Number of spreads from the centre beyond which a value is an outlier.

    Bonferroni correction over all values of all quantities: the probability of any false alarm in
    the whole set stays near `FALSE_ALARM_PROBABILITY`, whether it has 5 pictures or 500.
    """
    per_value = FALSE_ALARM_PROBABILITY / max(1, n_values * n_quantities)
    return float(ndtri(1 - per_value / 2))


def outlier_limit(
    n_values: int,
    n_quantities: int,
    spread: float,
    least_spread: float,
    *,
    n_readings: int = 1,
) -> float:
    """Distance from the centre beyond which a value is an outlier.

    Parameters
    ----------
    n_values, n_quantities : int
    spread : float
        Of the set, by `qn_spread`. The spread of few values is itself uncertain. Therefore
        Student's t limits the false alarms to the share `FALSE_ALARM_PROBABILITY` of the pictures,
        where there are too few of them for a limit over the whole set.
    least_spread : float
        Smallest spread that is assumed. It is known in advance and needs no such correction.
    n_readings : int
        Number of readings of which the one with the least spread was chosen; each is a further
        opportunity for a false alarm.
    """
    threshold = outlier_threshold(n_values, n_quantities * n_readings)
    freedom = max(1.0, QN_EFFICIENCY * (n_values - 1) - QN_LOST_FREEDOM)
    per_value = FALSE_ALARM_PROBABILITY / (n_quantities * n_readings)
    by_t = float(stdtrit(freedom, 1 - per_value / 2))
    return max(threshold * least_spread, max(threshold, by_t) * spread)


def moderated_spread(
    n_values: int, spread: float, usual_spread: float, weight: float
) -> tuple[float, float]:
    """Spread of few values, moderated by what sets usually spread by, and its degrees of freedom.

    G. K. Smyth, Linear models and empirical Bayes methods (2004): the squares of both spreads are
    averaged with their degrees of freedom as weights.

    Parameters
    ----------
    n_values : int
    spread : float
        Of these values, by `qn_spread`.
    usual_spread : float
    weight : float
        Degrees of freedom of the usual spread.
    """
    own = max(LEAST_FREEDOM, QN_EFFICIENCY * (n_values - 1) - QN_LOST_FREEDOM)
    square = weight * usual_spread**2 + own * spread**2
    return math.sqrt(square / (weight + own)), weight + own


def is_apart(
    values: Sequence[float],
    place: int,
    usual_spread: float,
    noticeable: float,
    n_quantities: int,
) -> bool:
    """Whether one value of a small set lies apart from the others.

    The others alone give centre and spread: of seven values, one that is far away would widen the
    spread of all by a third. From 3 values to `SMALL_SET` the usual spread loses its weight, and
    the share of false alarms passes from one picture to the whole set (`outlier_threshold`).

    Parameters
    ----------
    values : sequence of float
        Three or more.
    place : int
        Of the value.
    usual_spread : float
        What sets usually spread by.
    noticeable : float
        A smaller distance does not count.
    n_quantities : int
        Among which the false alarms are shared. Several readings of one quantity are not counted:
        they are much alike, and the usual spread keeps the least of them from being taken at its
        word.
    """
    others = [value for other, value in enumerate(values) if other != place]
    grown = min(1.0, (len(values) - SMALLEST_SET) / (SMALL_SET - SMALLEST_SET))
    weight = USUAL_FREEDOM * (1 - grown)
    spread, freedom = moderated_spread(len(others), qn_spread(others), usual_spread, weight)
    n_shared = len(values) ** (grown * grown)  # late: a fault in 12 is seen as in 7
    per_value = FALSE_ALARM_PROBABILITY / n_quantities / n_shared
    # The centre of the others errs, too: a median has pi / 2 times the variance of a mean.
    of_difference = spread * math.sqrt(1 + math.pi / 2 / len(others))
    limit = float(stdtrit(freedom, 1 - per_value / 2)) * of_difference
    return abs(values[place] - float(np.median(others))) > max(noticeable, limit)


def _scaled(absolute_deviations: NDArray[np.float64]) -> float:
    factor = small_sample_factor(absolute_deviations.size)
    return float(np.median(absolute_deviations)) * MAD_TO_SIGMA * factor


def _middle_of_arc(positions: NDArray[np.float64]) -> float:
    angles = positions * (2 * math.pi / HOURS)
    middle = math.atan2(float(np.sin(angles).mean()), float(np.cos(angles).mean()))
    hours = middle * HOURS / (2 * math.pi)
    return hours if hours > 0 else hours + HOURS
