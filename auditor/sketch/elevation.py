"""The camera's elevation: from the ovals of rims; straight on where all is seen from the side."""

from __future__ import annotations

import math

import numpy as np

from auditor.geometry import angle_difference_deg
from auditor.sketch.drawn import Guess
from auditor.sketch.grouping import Thing
from auditor.sketch.shapes import Oval

# Height over width from which an oval is meant round (our choice; hands that draw a circle in a
# second reach axis ratios down to 0.85, but lean to any side); a taller one is no rim.
ROUND_RATIO, MOST_UPRIGHT = 0.89, 1.2
OVERHEAD_DEG, STRAIGHT_ON_DEG = 90.0, 5.0
# The rim of a plate lies level: its major axis does too, unless it is nearly round.
MOST_TILT_DEG, TILT_COUNTS_BELOW = 20.0, 0.86
RATIO_SPREAD = 0.06  # of one oval drawn by hand


def read_elevation(things: list[Thing], n_side_views: int) -> Guess[float] | None:
    """Degrees above the table; None where nothing shows it.

    Parameters
    ----------
    things : list of Thing
    n_side_views : int
        How many of the things are drawn from the side.
    """
    ratios, weights = [], []
    for thing in things:
        for rim in thing.rims:
            level = angle_difference_deg(rim.angle_deg, 0.0) <= MOST_TILT_DEG
            if rim.ratio < TILT_COUNTS_BELOW and not level:
                continue
            upright = _upright_ratio(rim)
            if upright > MOST_UPRIGHT:
                continue
            ratios.append(upright)
            weights.append(rim.major * (rim.overlap - 0.8))
    if not ratios:
        if n_side_views:
            return Guess(STRAIGHT_ON_DEG, min(0.9, 0.6 + 0.1 * n_side_views))
        return None
    ratio, spread = _weighted_median(np.array(ratios), np.array(weights))
    confidence = 0.9 - min(0.4, 1.5 * spread)
    if ratio >= ROUND_RATIO:
        return Guess(OVERHEAD_DEG, confidence)
    return Guess(math.degrees(math.asin(min(1.0, ratio))), confidence)


def _upright_ratio(rim: Oval) -> float:
    """Height over width: of a circle drawn by hand it scatters about 1, whichever way it leans."""
    turn = math.radians(rim.angle_deg)
    c, s = math.cos(turn), math.sin(turn)
    return math.hypot(s, rim.ratio * c) / math.hypot(c, rim.ratio * s)


def _weighted_median(values: np.ndarray, weights: np.ndarray) -> tuple[float, float]:
    """Weighted median, and the weighted mean distance from it."""
    order = np.argsort(values)
    running = np.cumsum(weights[order])
    middle = float(values[order][np.searchsorted(running, running[-1] / 2)])
    return middle, float(np.average(np.abs(values - middle), weights=weights))
