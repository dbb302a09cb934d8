"""Which of the ellipses found are rims of flat round things, each dish once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.rims.ellipse_fit import distances_px
from auditor.measurements.rims.refinement import Refined

Floats = NDArray[np.float64]

MIN_SUPPORT = 0.5  # of the circumference in the frame
MIN_SHARE = 0.38  # of the whole circumference, in the frame and on an edge
MIN_SPAN = 0.5  # half of a rim, at least, between the ends of what is seen of it
CLAIM_PX = 3.0  # an edge this near an accepted rim belongs to that rim
MIN_OWN = 0.35  # share of the circumference in the frame on edges that no better rim has claimed
MAX_AXIS_RATIO_ERROR = 0.04
SAME_DISH_OFFSET = 0.35  # centres nearer than this share of the larger minor axis: one dish
SAME_DISH_RATIO = 0.12  # and axis ratios within this


def select(found: list[Refined]) -> list[Refined]:
    """Keep the rims, best first, one for each dish."""
    ranked = sorted((f for f in found if _is_complete(f)), key=rank, reverse=True)
    rims: list[Refined] = []
    for candidate in ranked:
        if _own_support(candidate, rims) >= MIN_OWN:
            rims.append(candidate)
    dishes: list[Refined] = []
    for rim in rims:
        if not any(_same_dish(rim, dish) for dish in dishes):
            dishes.append(rim)
    return dishes


def rank(found: Refined) -> float:
    """Larger for long outlines that are completely seen."""
    length = float(np.hypot(found.ellipse[2], found.ellipse[3]))
    return found.support**2 * float(np.sqrt(found.seen * length))


def _is_complete(found: Refined) -> bool:
    return (
        found.support >= MIN_SUPPORT
        and found.support * found.seen >= MIN_SHARE
        and found.span >= MIN_SPAN
        and found.axis_ratio_error <= MAX_AXIS_RATIO_ERROR
    )


def _own_support(candidate: Refined, better: list[Refined]) -> float:
    """Support by edges that no better rim lies on."""
    points = candidate.edge_points
    own = np.ones(len(points), dtype=bool)
    for rim in better:
        own &= np.abs(distances_px(rim.ellipse, points)) > CLAIM_PX
    return candidate.support * float(own.mean())


def _same_dish(rim: Refined, dish: Refined) -> bool:
    """Inner and outer rim, or rim and foot, of one dish."""
    one, other = rim.ellipse, dish.ellipse
    offset = float(np.hypot(*(one[:2] - other[:2])))
    alike = abs(one[3] / one[2] - other[3] / other[2]) < SAME_DISH_RATIO
    return alike and offset < SAME_DISH_OFFSET * max(one[3], other[3])
