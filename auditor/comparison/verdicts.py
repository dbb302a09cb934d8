"""From a difference, its tolerance and the measurement's uncertainty to a verdict.

A measurement says with probability p that its error is at most u. Its error is taken for normal
and alike in every direction, with the standard deviation that gives this p: along a line (an
angle, a share), in the frame (a position) or in colour space, hence of one, two or three
dimensions. The square of the true difference over that deviation then follows a non-central
chi-squared distribution, which gives the probability that the truth is within the plan's
tolerance. Measurements also err grossly now and then (another dish taken for the subject); that
puts the truth on the other side of the tolerance however far away it seems, see `GROSS_SHARE`.
The bounds of a quantity (an elevation above 90) are left out of account.
"""

from __future__ import annotations

import math
from typing import Any

from scipy.special import chdtri, chndtr, ndtr

from auditor.comparison.item import Verdict
from auditor.quantity import Quantity

# A picture is close to its plan up to this many tolerances: half as far again as what would still
# do. Unit: tolerances (common practice, no source).
CLOSE_WITHIN = 1.5
# Largest probability that the truth is outside the tolerance with which "met" is still said, and
# that it is inside with which "close" or "missed" is. The latter find fault with a picture and
# must be the surer words. (Three to one; about six to one. Choice, no source.)
MOST_DOUBT_OF_MET = 0.25
MOST_DOUBT_OF_FAULT = 0.15
# Share of the errors beyond u that are gross. Chosen so that a measurement likelier wrong than
# right (p below 1/2) never finds fault: 0.3 × 1/2 = `MOST_DOUBT_OF_FAULT`.
GROSS_SHARE = 0.3
# A word that was measured (a side) has no difference to weigh: below even odds it is no finding.
LEAST_CONFIDENCE_OF_WORD = 0.5
# No measurement is surer than this, whatever it says of itself; keeps the deviation above 0.
MOST_CONFIDENCE = 0.999
# Differences equal up to the rounding of floating-point numbers are equal.
ROUNDING = 1e-9


def standard_deviation(quantity: Quantity[Any], dimensions: int) -> float:
    """Standard deviation of a measurement's error along each of its dimensions, in its unit.

    Infinite where the measurement claims no confidence at all.
    """
    if not quantity.confidence or quantity.tolerance is None:
        return math.inf
    confidence = min(quantity.confidence, MOST_CONFIDENCE)
    n_deviations = math.sqrt(float(chdtri(dimensions, 1 - confidence)))
    return quantity.tolerance / n_deviations if n_deviations > 0 else math.inf


def probability_within(
    difference: float, tolerance: float, deviation: float, dimensions: int = 1
) -> float:
    """Probability that the true difference is at most the tolerance, errors being normal.

    `deviation` is along each dimension; 0 is an exact measurement.
    """
    if math.isinf(deviation):
        return 0.0
    if deviation <= ROUNDING:
        return 1.0 if abs(difference) <= tolerance + ROUNDING else 0.0
    return float(chndtr((tolerance / deviation) ** 2, dimensions, (difference / deviation) ** 2))


def probability_within_round(
    difference: float, tolerance: float, deviation: float, period: float
) -> float:
    """The same for a direction: after `period` (12 h, 180 degrees) it is the same again.

    A direction that is quite unknown is within the tolerance by chance: 2 tolerance / period.
    """
    by_chance = min(1.0, 2 * tolerance / period)
    if deviation > period / 2:
        return by_chance
    if deviation <= ROUNDING:
        return probability_within(difference, tolerance, deviation)
    turns = (difference + period * n for n in (-2, -1, 0, 1, 2))
    within = (
        ndtr((tolerance - turn) / deviation) - ndtr((-tolerance - turn) / deviation)
        for turn in turns
    )
    return min(1.0, float(sum(within)))


def verdict_of(
    difference: float, tolerance: float, within: float, confidence: float = 1.0
) -> Verdict:
    """Weigh a difference.

    Parameters
    ----------
    difference, tolerance : float
        In the same unit; the sign of the difference does not matter.
    within : float
        Probability that the true difference is within the tolerance, errors being normal.
    confidence : float
        Of the measurement, from which gross errors are reckoned; 1 for what is exact.
    """
    gross = GROSS_SHARE * (1 - confidence)
    if abs(difference) <= tolerance + ROUNDING:
        doubt = gross + (1 - gross) * (1 - within)
        return Verdict.MET if doubt <= MOST_DOUBT_OF_MET + ROUNDING else Verdict.UNDECIDED
    if gross + (1 - gross) * within > MOST_DOUBT_OF_FAULT + ROUNDING:
        return Verdict.UNDECIDED
    is_close = abs(difference) <= CLOSE_WITHIN * tolerance + ROUNDING
    return Verdict.CLOSE if is_close else Verdict.MISSED


def verdict_on_quantity(
    difference: float, tolerance: float, quantity: Quantity[Any], dimensions: int = 1
) -> Verdict:
    """Weigh a difference whose error is the measurement's own."""
    deviation = standard_deviation(quantity, dimensions)
    within = probability_within(difference, tolerance, deviation, dimensions)
    return verdict_of(difference, tolerance, within, quantity.confidence or 0.0)


def verdict_on_direction(
    difference: float, tolerance: float, quantity: Quantity[Any], period: float
) -> Verdict:
    """Weigh the difference of two directions that repeat after `period`."""
    deviation = standard_deviation(quantity, 1)
    within = probability_within_round(difference, tolerance, deviation, period)
    return verdict_of(difference, tolerance, within, quantity.confidence or 0.0)


def verdict_on_word(planned: str, measured: str, quantity: Quantity[Any]) -> Verdict:
    """Weigh a word that is either the planned one or not."""
    if (quantity.confidence or 0.0) < LEAST_CONFIDENCE_OF_WORD:
        return Verdict.UNDECIDED
    return Verdict.MET if planned == measured else Verdict.MISSED
