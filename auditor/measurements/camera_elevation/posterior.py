"""Probabilities of elevations: what is usual, and how readings of two kinds are combined."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.quantity import probability_within_tolerance

Floats = NDArray[np.float64]

ELEVATIONS_DEG: Floats = np.arange(4.0, 91.0, 3.0)  # half a step is less than any reading's spread
# How often photographs of food are taken from an elevation, relative: most are taken from a seat at
# the table, few from its level (by eye on 67 photographs of dishes by many hands, smoothed). Of the
# steep ones half look straight down, as in `overhead`.
USUAL_AT_DEG = (5.0, 15.0, 30.0, 45.0, 60.0, 70.0, 85.0, 88.0)
USUAL = (0.6, 0.8, 1.2, 1.4, 1.2, 0.5, 0.5, 3.0)
PRIOR: Floats = np.interp(ELEVATIONS_DEG, USUAL_AT_DEG, USUAL)
PRIOR /= PRIOR.sum()
# Probability that the lines of a picture are not those of a table, before it is seen whether two
# halves of them agree. Lines gave an elevation on 38 of 98 photographs (67 of dishes, 31 of COCO):
# 7 were off by more than 13 degrees, 3 of them among the 5 whose halves agreed less than by chance.
LINES_DOUBT = 0.3
# Smallest error of an elevation from lines, in degrees: that of the right ones, root mean square.
# Edges that are not parallel make the likelihood too narrow.
LINES_ERROR_DEG = 4.5


@dataclass(frozen=True, slots=True)
class Reading:
    """An elevation with its uncertainty.

    Attributes
    ----------
    deg : float
    spread_deg : float
        Standard deviation if the reading is right.
    confidence : float
        Probability that the error is at most the tolerance.
    """

    deg: float
    spread_deg: float
    confidence: float


def doubt_of_halves(one: Floats, other: Floats) -> float:
    """Probability that lines are not those of a table, from the likelihoods (N,) of their halves.

    Two halves of the lines of a table give one elevation. Otherwise they give two that are
    independent of each other, as usual as any.
    """
    first, second = PRIOR * one, PRIOR * other
    agreement = float((first / first.sum() * second / second.sum() / PRIOR).sum())
    return LINES_DOUBT / (LINES_DOUBT + (1 - LINES_DOUBT) * agreement)


def reading_of(
    likelihood: Floats, lines_doubt: float, tolerance_deg: float, further_error_deg: float = 0.0
) -> Reading:
    """Combine a likelihood (N,) over `ELEVATIONS_DEG` with what is usual.

    `lines_doubt` is the probability that the lines are not those of a table; `further_error_deg` is
    a standard error that the likelihood does not contain.
    """
    right = PRIOR * likelihood
    right = right / right.sum()
    deg = float(right @ ELEVATIONS_DEG)
    scatter_deg = float(np.sqrt(right @ (ELEVATIONS_DEG - deg) ** 2))
    spread_deg = float(np.hypot(max(scatter_deg, LINES_ERROR_DEG), further_error_deg))
    within = probability_within_tolerance(tolerance_deg, spread_deg)
    usual = float(PRIOR[np.abs(ELEVATIONS_DEG - deg) <= tolerance_deg].sum())
    return Reading(deg, spread_deg, (1 - lines_doubt) * within + lines_doubt * usual)


def agreement(deg: float, spread_deg: float, likelihood: Floats) -> float:
    """How much more probable a likelihood (N,) is for a reading than for what is usual.

    Parameters
    ----------
    deg, spread_deg : float
        The reading and its standard deviation.
    likelihood : (N,) float array
        Over `ELEVATIONS_DEG`.
    """
    right = np.exp(-0.5 * ((ELEVATIONS_DEG - deg) / spread_deg) ** 2)
    return float(right @ likelihood / right.sum() / (PRIOR @ likelihood))


def doubt_after(doubt: float, others_doubt: float, agreeing: float) -> float:
    """Probability that a reading is wrong, after another one of another kind.

    Parameters
    ----------
    doubt, others_doubt : float
        Probabilities that the reading and the other one are wrong, before.
    agreeing : float
        Their `agreement`.
    """
    if doubt <= 0:
        return 0.0
    expected = (1 - others_doubt) * agreeing + others_doubt
    return doubt / (doubt + (1 - doubt) * expected)
