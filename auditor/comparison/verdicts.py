"""Verdicts from a difference, its tolerance and the measurement's uncertainty.

A measurement states the probability p that its error is at most u. The error is modelled as normal
and equal in every direction, with the standard deviation that gives this p. It has one dimension
along a line (an angle, a share), two in the frame (a position), three in colour space. The square
of the true difference divided by that deviation then follows a non-central chi-squared
distribution, which gives the probability that the truth is within the plan's tolerance.
Measurements also have gross errors (another dish taken for the subject); after one of them the
truth may be on the other side of the tolerance however far away that is, see `GROSS_SHARE`. The
limits of a quantity (no elevation above 90) are not taken into account.
"""

from __future__ import annotations

import math
from typing import Any

from scipy.special import chdtri, chndtr, ndtr

from auditor.comparison.item import Verdict
from auditor.quantity import Quantity

# A picture is close to its plan up to this many tolerances: half as far again as the tolerance.
# Unit: tolerances (common practice, no source).
CLOSE_WITHIN = 1.5
# Largest probability of being wrong with which a verdict is still given: that the truth is outside
# the tolerance for "met", inside for "close" and "missed". The latter two report a fault of the
# picture and need more certainty. (Three to one; about six to one. A choice, no source.)
MOST_DOUBT_OF_MET = 0.25
MOST_DOUBT_OF_FAULT = 0.15
# Share of the errors beyond u that are gross. Chosen so that a measurement that is more likely
# wrong than right (p below 1/2) never reports a fault: 0.3 × 1/2 = `MOST_DOUBT_OF_FAULT`.
GROSS_SHARE = 0.3
# Measured words (a side) have no difference; below even odds they give no verdict.
LEAST_CONFIDENCE_OF_WORD = 0.5
# Higher confidences are taken for this one, which keeps the deviation above 0.
MOST_CONFIDENCE = 0.999
# Differences within the rounding of floating-point numbers are taken for equal.
ROUNDING = 1e-9


def standard_deviation(quantity: Quantity[Any], dimensions: int) -> float:
    """Standard deviation of a measurement's error along each of its dimensions, in its unit.

    Infinite if the measurement has no confidence at all.
    """
    if not quantity.confidence or quantity.tolerance is None:
        return math.inf
    confidence = min(quantity.confidence, MOST_CONFIDENCE)
    n_deviations = math.sqrt(float(chdtri(dimensions, 1 - confidence)))
    return quantity.tolerance / n_deviations if n_deviations > 0 else math.inf


def probability_within(
    difference: float, tolerance: float, deviation: float, dimensions: int = 1
) -> float:
    """Probability that the true difference is at most the tolerance, if errors are normal.

    Parameters
    ----------
    difference, tolerance : float
        In one unit.
    deviation : float
        Standard deviation along each dimension, in the same unit; 0 is an exact measurement.
    dimensions : int
    """
    if math.isinf(deviation):
        return 0.0
    if deviation <= ROUNDING:
        return 1.0 if abs(difference) <= tolerance + ROUNDING else 0.0
    return float(chndtr((tolerance / deviation) ** 2, dimensions, (difference / deviation) ** 2))


def probability_within_round(
    difference: float, tolerance: float, deviation: float, period: float
) -> float:
    """`probability_within` for directions, which repeat after `period` (12 h, 180 degrees).

    An unknown direction is within the tolerance by chance: 2 tolerance / period.
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
    """Give the verdict on a difference.

    Parameters
    ----------
    difference, tolerance : float
        In one unit; the sign of the difference does not matter.
    within : float
        Probability that the true difference is within the tolerance, if errors are normal.
    confidence : float
        Of the measurement; gives the probability of a gross error. 1 for an exact measurement.
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
    """Give the verdict on a difference with the error of its measurement."""
    deviation = standard_deviation(quantity, dimensions)
    within = probability_within(difference, tolerance, deviation, dimensions)
    return verdict_of(difference, tolerance, within, quantity.confidence or 0.0)


def verdict_on_direction(
    difference: float, tolerance: float, quantity: Quantity[Any], period: float
) -> Verdict:
    """Give the verdict on the difference of two directions that repeat after `period`."""
    deviation = standard_deviation(quantity, 1)
    within = probability_within_round(difference, tolerance, deviation, period)
    return verdict_of(difference, tolerance, within, quantity.confidence or 0.0)


def verdict_on_word(planned: str, measured: str, quantity: Quantity[Any]) -> Verdict:
    """Give the verdict on a word, which is the planned one or is not."""
    if (quantity.confidence or 0.0) < LEAST_CONFIDENCE_OF_WORD:
        return Verdict.UNDECIDED
    return Verdict.MET if planned == measured else Verdict.MISSED
