"""Select the ellipses that are rims of flat round things, one for each dish."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.rims.ellipse_fit import distances_px, outline
from auditor.measurements.rims.evidence import Refined
from auditor.measurements.rims.levelness import is_level

Floats = NDArray[np.float64]

# Chosen by eye on ellipses drawn on 167 photographs of dishes by many photographers. Of the 110
# then kept, 4 were not the rim of a round thing and 2 more were doubtful.
SUPPORT_OF_LARGE = 0.56  # a dish with 40 % hidden by food
SUPPORT_OF_ARC = 0.48  # of a large one whose visible part is in one piece
ARC_RUN_SHARE = 0.93  # of the support in long runs: in one piece
ARC_CONTINUITY = 0.95  # and of one colour
SUPPORT_OF_SMALL = 0.84  # food makes many small arcs; only a whole outline is accepted
LARGE_FRACTION = 0.18  # semi-axis as a share of the diagonal
SMALL_FRACTION = 0.06
EVIDENCE_SHARE = 0.85  # of the support needed, in long runs that keep their contrast
SUPPORT_OF_FLAT = 0.65  # two parallel edges already make a good part of a flat ellipse
FLAT_RATIO = 0.3
SUPPORT_OF_LINE = 0.85  # and nearly all of one that is hardly more than a line
LINE_RATIO = 0.11
MIN_AXIS_RATIO = 0.055  # sine of 3.2 degrees: a flatter one is a line
MIN_SEMI_MINOR_FRACTION = 0.005  # of the diagonal: the long sides are then 12 of 1200 px apart
MIN_SEMI_MAJOR_FRACTION = 0.045  # smaller ones are coins and garnish
MIN_SHARE = 0.36  # of the whole circumference, in the frame and on an edge
MIN_SPAN = 0.5  # at least half of a rim lies between the ends of its visible part
# The rules for clipped rims added 8 elevations on 122 rendered tables, 7 of them right, and one rim
# on the photographs.
SUPPORT_OF_CLIPPED = 0.85  # the visible part of a rim cut by the frame must be nearly complete
CONTINUITY_OF_CLIPPED = 0.88  # and of one colour
MIN_SEEN_OF_CLIPPED = 0.3  # share of the circumference in the frame
MAX_ERROR_OF_CLIPPED = 0.012  # of the axis ratio: 1 degree at 45 degrees
ENDS_SEEN_BELOW_RATIO = 0.56  # of a flatter one both ends must be seen
MIN_END_SUPPORT = 0.25
MAX_AXIS_RATIO_ERROR = 0.04
CLAIM_PX = 3.0  # an edge this near an accepted rim belongs to that rim
MIN_UNCLAIMED = 0.4  # share of the circumference in the frame on edges claimed by no better rim
SAME_DISH_OFFSET = 0.35  # centres nearer than this share of the larger dish's axes: one dish
SAME_DISH_DEPTH = 0.25  # a foot may lie this share of the major axis below its rim
UPRIGHT_RATIO = 0.2  # a thing so much rounder than its dish does not lie in the dish's plane
ON_DISH_SIZE = 0.6  # something smaller than this share of the dish that it lies on is food


def select(found: list[Refined], shape: tuple[int, int], leniency: float = 1.0) -> list[Refined]:
    """Keep the rims, best first, one for each dish.

    Parameters
    ----------
    found : list of Refined
    shape : tuple of int
        Height and width of the frame in pixels.
    leniency : float
        Factor of all the support that is asked for; below 1 fainter outlines are kept, too.
    """
    ranked = sorted((f for f in found if is_rim(f, shape, leniency)), key=rank, reverse=True)
    rims: list[Refined] = []
    for candidate in ranked:
        if _unclaimed_support(candidate, rims) >= MIN_UNCLAIMED:
            rims.append(candidate)
    rims = [rim for rim in rims if not any(_stands_on(rim, other) for other in rims)]
    dishes: list[Refined] = []
    for rim in rims:
        if not any(_same_dish(rim, dish) or _lies_on(rim, dish) for dish in dishes):
            dishes.append(rim)
    return dishes


def rank(found: Refined) -> float:
    """Score of an ellipse: larger for long outlines that are completely visible."""
    length = float(np.hypot(found.ellipse[2], found.ellipse[3]))
    evidence = found.support * found.run_support * max(found.continuity, 0.0) ** 2
    return evidence * float(np.sqrt(found.seen * length))


def is_rim(found: Refined, shape: tuple[int, int], leniency: float = 1.0) -> bool:
    """True if enough of the outline is seen, in long pieces, and it may be a level dish."""
    diagonal_px = float(np.hypot(*shape))
    return (
        _is_of_size(found, diagonal_px)
        and _is_complete(found, diagonal_px, leniency)
        and _is_whole(found)
        and bool(is_level(found.ellipse[None], shape)[0])
    )


def _is_of_size(found: Refined, diagonal_px: float) -> bool:
    _, _, a, b, _ = found.ellipse
    return bool(
        a >= MIN_SEMI_MAJOR_FRACTION * diagonal_px
        and b >= MIN_SEMI_MINOR_FRACTION * diagonal_px
        and b >= MIN_AXIS_RATIO * a
    )


def _needed_support(found: Refined, diagonal_px: float, leniency: float) -> float:
    """Share of the outline that must be seen: more for small and for flat ones."""
    size = found.ellipse[2] / diagonal_px
    is_large = size >= LARGE_FRACTION
    if is_large and _is_one_arc(found, leniency):
        by_size = SUPPORT_OF_ARC
    else:
        by_size = float(
            np.interp(size, [SMALL_FRACTION, LARGE_FRACTION], [SUPPORT_OF_SMALL, SUPPORT_OF_LARGE])
        )
    ratio = found.ellipse[3] / found.ellipse[2]
    if ratio < LINE_RATIO:
        return max(leniency * by_size, SUPPORT_OF_LINE)
    return leniency * (max(by_size, SUPPORT_OF_FLAT) if ratio < FLAT_RATIO else by_size)


def _is_one_arc(found: Refined, leniency: float) -> bool:
    """True if the visible part is in one piece, as of a dish with another in front of it."""
    return (
        found.run_support >= leniency * ARC_RUN_SHARE * found.support
        and found.continuity >= leniency * ARC_CONTINUITY
    )


def _is_complete(found: Refined, diagonal_px: float, leniency: float) -> bool:
    needed = _needed_support(found, diagonal_px, leniency)
    is_clipped = _is_clipped(found, diagonal_px, leniency)
    evidence = found.run_support * max(found.continuity, 0.0) ** 2
    return bool(
        min(found.support, found.turn_support) >= needed
        and evidence >= leniency * EVIDENCE_SHARE * needed
        and (found.support * found.seen >= leniency * MIN_SHARE or is_clipped)
        and (found.span >= MIN_SPAN or is_clipped)
    )


def _is_clipped(found: Refined, diagonal_px: float, leniency: float) -> bool:
    """True if a large rim is cut by the frame and its remaining part is completely seen."""
    return (
        found.ellipse[2] >= LARGE_FRACTION * diagonal_px
        and found.run_support >= leniency * SUPPORT_OF_CLIPPED
        and found.continuity >= leniency * CONTINUITY_OF_CLIPPED
        and found.seen >= MIN_SEEN_OF_CLIPPED
        and found.axis_ratio_error <= MAX_ERROR_OF_CLIPPED / leniency**3
    )


def _is_whole(found: Refined) -> bool:
    shows_ends = found.ellipse[3] > ENDS_SEEN_BELOW_RATIO * found.ellipse[2]
    return found.axis_ratio_error <= MAX_AXIS_RATIO_ERROR and (
        shows_ends or found.end_support >= MIN_END_SUPPORT
    )


def _unclaimed_support(candidate: Refined, better: list[Refined]) -> float:
    """Support from edges that no better rim lies on."""
    points = candidate.edge_points
    own = np.ones(len(points), dtype=bool)
    for rim in better:
        own &= np.abs(distances_px(rim.ellipse, points)) > CLAIM_PX
    return candidate.support * float(own.mean())


def _same_dish(rim: Refined, dish: Refined) -> bool:
    """True for inner and outer rim, or rim and foot, of one dish."""
    one, other = rim.ellipse, dish.ellipse
    larger = one if one[2] > other[2] else other
    dx, dy = one[:2] - other[:2]
    across = abs(dx * np.cos(larger[4]) + dy * np.sin(larger[4]))
    along = abs(dy * np.cos(larger[4]) - dx * np.sin(larger[4]))
    reach = max(SAME_DISH_OFFSET * larger[3], SAME_DISH_DEPTH * larger[2])
    return bool(across < SAME_DISH_OFFSET * larger[2] and along < reach)


def _lies_on(rim: Refined, dish: Refined) -> bool:
    """True for food on a dish: its centre inside the rim, and much smaller."""
    inside = distances_px(dish.ellipse, rim.ellipse[None, :2])[0] < 0
    return bool(inside) and rim.ellipse[2] < ON_DISH_SIZE * dish.ellipse[2]


def _stands_on(rim: Refined, dish: Refined) -> bool:
    """True for an upright round thing, such as a fruit, rounder than the dish under its foot."""
    _, points, _ = outline(rim.ellipse, 36)
    foot = points[points[:, 1].argmax()]
    inside = distances_px(dish.ellipse, foot[None])[0] < 0
    rounder = rim.ellipse[3] / rim.ellipse[2] - dish.ellipse[3] / dish.ellipse[2]
    return bool(inside and rounder > UPRIGHT_RATIO and rim.ellipse[2] < dish.ellipse[2])
