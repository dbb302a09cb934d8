"""Probabilities of elevations: what is usual, and how readings of two kinds are combined."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.quantity import probability_within_tolerance

Floats = NDArray[np.float64]

ELEVATIONS_DEG: Floats = np.arange(4.0, 91.0, 3.0)  # half a step is less than any reading's spread
# How often photographs of food are taken from an elevation, relative: most are taken from a seat at
# the table, few from its level (by eye on 67 photographs of dishes by many hands, smoothed).
USUAL_AT_DEG = (5.0, 15.0, 30.0, 45.0, 60.0, 75.0, 90.0)
USUAL = (0.6, 0.8, 1.2, 1.4, 1.2, 0.8, 0.8)
PRIOR: Floats = np.interp(ELEVATIONS_DEG, USUAL_AT_DEG, USUAL)
PRIOR /= PRIOR.sum()
# Probability that the lines of a picture, however well they agree, are not those of a table. Lines
# gave an elevation on 23 of 67 photographs of dishes and on 27 of 65 rendered tables of the
# teaching family; 2 and 3 were off by more than 13 degrees, 6 and 4 by more than 10.
LINES_DOUBT = 0.15
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


def reading_of(likelihood: Floats, tolerance_deg: float) -> Reading:
    """Combine a likelihood (N,) over `ELEVATIONS_DEG` with what is usual."""
    right = PRIOR * likelihood
    right = right / right.sum()
    deg = float(right @ ELEVATIONS_DEG)
    scatter_deg = float(np.sqrt(right @ (ELEVATIONS_DEG - deg) ** 2))
    spread_deg = max(scatter_deg, LINES_ERROR_DEG)
    within = probability_within_tolerance(tolerance_deg, spread_deg)
    usual = float(PRIOR[np.abs(ELEVATIONS_DEG - deg) <= tolerance_deg].sum())
    return Reading(deg, spread_deg, (1 - LINES_DOUBT) * within + LINES_DOUBT * usual)


def doubt_after(doubt: float, deg: float, spread_deg: float, likelihood: Floats) -> float:
    """Probability that a reading is wrong, after a second one of another kind.

    Parameters
    ----------
    doubt : float
        The same before.
    deg, spread_deg : float
        The reading and its standard deviation if it is right.
    likelihood : (N,) float array
        Of the second reading, over `ELEVATIONS_DEG`.
    """
    if doubt <= 0:
        return 0.0
    right = np.exp(-0.5 * ((ELEVATIONS_DEG - deg) / spread_deg) ** 2)
    agreement = float(right @ likelihood / right.sum() / (PRIOR @ likelihood))
    agreement = (1 - LINES_DOUBT) * agreement + LINES_DOUBT
    return doubt / (doubt + (1 - doubt) * agreement)
