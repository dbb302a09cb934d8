"""Verdicts from a difference, its tolerance and the measurement's uncertainty.

A reading is right, with a normal error of a known spread, or wrong altogether
(`auditor.quantity.Quantity`). If it is right, the square of the true difference divided by the
spread follows a non-central chi-squared distribution: of one dimension along a line (an angle, a
share), two in the frame (a position), three in colour space. That gives the probability that the
truth is within the plan's tolerance. If it is wrong, the truth may be anywhere, and the picture
meets its plan as often as pictures do. The limits of a quantity (no elevation above 90) are not
taken into account.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from scipy.special import chndtr, ndtr

from auditor.accepted import Accepted, Span
from auditor.comparison.item import Verdict
from auditor.quantity import MOST_DOUBT, Quantity

# A picture is close to its plan up to this many tolerances: half as far again as the tolerance.
# Unit: tolerances (common practice, no source).
CLOSE_WITHIN = 1.5
# What of the tolerance is allowed beyond a range or a word that means one: with all of it, "low"
# would reach into the middle of "three-quarter" (our choice, no source).
BEYOND_RANGE = 0.5
# How often a picture meets an item of its plan, whatever was measured (our choice, no source).
MET_BY_CHANCE = 0.5
# Probability from which on an item is met, and up to which it is missed. The first is even odds,
# the second was chosen on 40 photographs of dishes by many hands, with plans in words and verdicts
# by eye (`fixtures/judged_plans_for_choosing.json`, `tests/benchmarks/check_verdicts.py`).
LEAST_MET = 0.5
MOST_MET_OF_FAULT = 0.4
# Differences within the rounding of floating-point numbers are taken for equal.
ROUNDING = 1e-9


def spread_of(quantity: Quantity[Any]) -> float:
    """Spread of a measurement's error, if it is right, in its unit; infinite without a value."""
    return math.inf if quantity.spread is None else quantity.spread


def doubt_of(quantity: Quantity[Any]) -> float:
    """Probability that a measurement is wrong altogether; 1 without a value."""
    return 1.0 if quantity.doubt is None else quantity.doubt


def probability_within(
    difference: float, tolerance: float, spread: float, dimensions: int = 1
) -> float:
    """Probability that the true difference is at most the tolerance, if errors are normal.

    Parameters
    ----------
    difference, tolerance : float
        In one unit.
    spread : float
        Standard deviation along each dimension, in the same unit; 0 is an exact measurement.
    dimensions : int
    """
    if math.isinf(spread):
        return 0.0
    if spread <= ROUNDING:
        return 1.0 if abs(difference) <= tolerance + ROUNDING else 0.0
    return float(chndtr((tolerance / spread) ** 2, dimensions, (difference / spread) ** 2))


def probability_within_round(
    difference: float, tolerance: float, spread: float, period: float
) -> float:
    """`probability_within` for directions, which repeat after `period` (12 h, 180 degrees).

    An unknown direction is within the tolerance by chance: 2 tolerance / period.
    """
    by_chance = min(1.0, 2 * tolerance / period)
    if spread > period / 2:
        return by_chance
    if spread <= ROUNDING:
        return probability_within(difference, tolerance, spread)
    turns = (difference + period * n for n in (-2, -1, 0, 1, 2))
    within = (
        ndtr((tolerance - turn) / spread) - ndtr((-tolerance - turn) / spread) for turn in turns
    )
    return min(1.0, float(sum(within)))


def tolerance_beyond(accepted: Accepted, tolerance: float) -> float:
    """How far beyond what is accepted a picture may be: a range leaves room itself."""
    return tolerance if accepted.is_value else BEYOND_RANGE * tolerance


def probability_accepted(
    accepted: Accepted, value: float, tolerance: float, spread: float
) -> float:
    """Probability that the true value lies in one of the ranges or within the tolerance of it.

    Parameters
    ----------
    accepted : Accepted
    value : float
        As measured.
    tolerance : float
        Beyond each range.
    spread : float
        Standard deviation of the measurement.
    """
    within = sum(_chance_in(span, value, spread) for span in _widened(accepted.spans, tolerance))
    return min(1.0, within)


def probability_accepted_round(
    accepted: Accepted, value: float, tolerance: float, spread: float, period: float
) -> float:
    """`probability_accepted` for directions, which repeat after `period`.

    An unknown direction is accepted by chance: the share of the round that the ranges take.
    """
    spans = _widened(accepted.spans, tolerance)
    if spread > period / 2:
        return min(1.0, sum(most - least for least, most in spans) / period)
    turned = (value + period * turns for turns in (-2, -1, 0, 1, 2))
    return min(1.0, sum(_chance_in(span, one, spread) for one in turned for span in spans))


def _widened(spans: Sequence[Span], tolerance: float) -> list[Span]:
    """The ranges with the tolerance on both sides, those that then overlap made one."""
    joined: list[Span] = []
    for least, most in sorted(spans):
        if joined and least - tolerance <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], most + tolerance))
        else:
            joined.append((least - tolerance, most + tolerance))
    return joined


def _chance_in(span: Span, value: float, spread: float) -> float:
    least, most = span
    if math.isinf(spread):
        return 0.0
    if spread <= ROUNDING:
        return 1.0 if least - ROUNDING <= value <= most + ROUNDING else 0.0
    return float(ndtr((most - value) / spread) - ndtr((least - value) / spread))


def probability_met(within: float, doubt: float) -> float:
    """Probability that the picture meets its plan.

    Parameters
    ----------
    within : float
        The same if the reading is right.
    doubt : float
        Probability that it is not.
    """
    return (1 - doubt) * within + doubt * MET_BY_CHANCE


def verdict_of(difference: float, tolerance: float, within: float, doubt: float = 0.0) -> Verdict:
    """Give the verdict on a difference.

    Parameters
    ----------
    difference, tolerance : float
        In one unit; the sign of the difference does not matter.
    within : float
        Probability that the true difference is within the tolerance, if the reading is right.
    doubt : float
        Probability that the reading is wrong; 0 for an exact measurement.
    """
    if doubt > MOST_DOUBT + ROUNDING:
        return Verdict.UNDECIDED
    met = probability_met(within, doubt)
    if abs(difference) <= tolerance + ROUNDING:
        return Verdict.MET if met >= LEAST_MET - ROUNDING else Verdict.UNDECIDED
    if met > MOST_MET_OF_FAULT + ROUNDING:
        return Verdict.UNDECIDED
    is_close = abs(difference) <= CLOSE_WITHIN * tolerance + ROUNDING
    return Verdict.CLOSE if is_close else Verdict.MISSED


def verdict_of_chance(within: float, doubt: float) -> Verdict:
    """Give the verdict on something that has no difference, from its probability.

    Parameters
    ----------
    within : float
        Probability that the picture meets its plan, if the reading is right.
    doubt : float
        Probability that the reading is wrong.
    """
    met = probability_met(within, doubt)
    if doubt > MOST_DOUBT + ROUNDING or MOST_MET_OF_FAULT + ROUNDING < met < LEAST_MET - ROUNDING:
        return Verdict.UNDECIDED
    return Verdict.MET if met >= LEAST_MET - ROUNDING else Verdict.MISSED


def verdict_of_absence(there: float) -> Verdict:
    """Give the verdict on something planned that was not found.

    `there` is the probability that the picture has it after all.
    """
    return Verdict.MISSED if there <= MOST_MET_OF_FAULT + ROUNDING else Verdict.UNDECIDED


def verdict_on_quantity(
    difference: float, tolerance: float, quantity: Quantity[Any], dimensions: int = 1
) -> Verdict:
    """Give the verdict on a difference with the uncertainty of its measurement."""
    within = probability_within(difference, tolerance, spread_of(quantity), dimensions)
    return verdict_of(difference, tolerance, within, doubt_of(quantity))


def verdict_on_direction(
    difference: float, tolerance: float, quantity: Quantity[Any], period: float
) -> Verdict:
    """Give the verdict on the difference of two directions that repeat after `period`."""
    within = probability_within_round(difference, tolerance, spread_of(quantity), period)
    return verdict_of(difference, tolerance, within, doubt_of(quantity))
