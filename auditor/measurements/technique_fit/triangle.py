"""Triangle arrangement: subject and supporting elements as the corners of a triangle."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

from auditor.geometry import Point, Region, diagonal_px
from auditor.measurements.technique_fit.fit import TechniqueFit

MAX_THINGS = 6  # subject and the five largest elements: what comes after decides no arrangement
MIN_AREA_RATIO = 0.1  # to the subject; a lesser thing is no corner (a leaf, a crumb)
FLAT_HEIGHT = 0.35  # of the longest side: an isosceles one rises at 35 degrees; flatter is a row
FAIR_AREA_FRACTION = 0.04  # of the frame; two points of the thirds and a centre make 0.056
FULL = 2.0  # times the least height and area: no doubt is left
# Of the area of the outline of all the things; what else stands there must not make a fourth
# corner: the fourth corner of a square leaves a half, one that dents a side leaves more.
MIN_SHARE_OF_OUTLINE = 0.75


def triangle_arrangement(
    subject: Region, elements: Sequence[Region], width: float, height: float
) -> TechniqueFit | None:
    """Find the triangle of which the subject is a corner; None for fewer than three things.

    Parameters
    ----------
    subject, elements
        Elements largest first.
    width, height : float
        Of the frame, in any unit in the right proportion.

    Returns
    -------
    TechniqueFit or None
        `point` is the triangle's middle, `outline` its corners, the subject first. `distance` is
        how far the flattest corner would have to be drawn out.
    """
    least = MIN_AREA_RATIO * subject.area_fraction
    others = [e.centroid for e in elements if e.area_fraction >= least][: MAX_THINGS - 1]
    if len(others) < 2:
        return None
    things = [subject.centroid, *others]
    hull = max(
        _area(corners, width, height)
        for size in (3, 4)
        for corners in combinations(things, size)
        if len(things) >= size
    )
    corners = max(
        ((things[0], a, b) for a, b in combinations(others, 2)),
        key=lambda triangle: _area(triangle, width, height),
    )
    area = _area(corners, width, height)
    longest = max(
        math.hypot((a.x - b.x) * width, (a.y - b.y) * height) for a, b in combinations(corners, 2)
    )
    tall = 2 * area / longest if longest > 0 else 0.0
    fit = min(
        _graded(tall, FLAT_HEIGHT * longest),
        _graded(area / (width * height), FAIR_AREA_FRACTION),
        1.0 if area >= MIN_SHARE_OF_OUTLINE * hull else 0.5 * area / hull,
    )
    short_of = max(0.0, FLAT_HEIGHT * longest - tall)
    middle = Point(sum(c.x for c in corners) / 3, sum(c.y for c in corners) / 3)
    return TechniqueFit(short_of / diagonal_px(width, height), middle, fit, corners)


def _graded(value: float, least: float) -> float:
    """Scale so that `least` is a half and `FULL` times as much is 1."""
    if value < least:
        return 0.5 * value / least
    return min(1.0, 0.5 + 0.5 * (value / max(least, 1e-12) - 1) / (FULL - 1))


def _area(points: Sequence[Point], width: float, height: float) -> float:
    """Area of the outline of three or four points."""
    centre = Point(sum(p.x for p in points) / len(points), sum(p.y for p in points) / len(points))
    ring = sorted(points, key=lambda p: math.atan2((p.y - centre.y), (p.x - centre.x)))
    doubled = sum(a.x * b.y - b.x * a.y for a, b in zip(ring, ring[1:] + ring[:1], strict=True))
    return abs(doubled) / 2 * width * height
