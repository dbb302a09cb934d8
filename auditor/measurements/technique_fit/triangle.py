"""Triangle arrangement: subject and supporting elements as the corners of a triangle."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Point, Region, diagonal_px
from auditor.measurements.technique_fit.fit import TechniqueFit

Floats = NDArray[np.float64]

MAX_THINGS = 6  # subject and the five largest elements: smaller ones do not shape the arrangement
MIN_AREA_RATIO = 0.1  # to the subject; a smaller thing is no corner (a leaf, a crumb)
FLAT_HEIGHT = 0.35  # of the longest side: isosceles with 35 degrees at the base; flatter is a row
MIN_AREA_FRACTION = 0.04  # of the frame; three crossings of the thirds make 0.056
FULL = 2.0  # times the least height and area: a fit of 1
# Of the area of the outline of all things, which must have no clear fourth corner: the largest
# triangle has 0.5 of a square, 0.45 of a regular pentagon, and more if the other things lie near
# its sides.
MIN_SHARE_OF_OUTLINE = 0.75


def triangle_arrangement(
    subject: Region, elements: Sequence[Region], width: float, height: float
) -> tuple[TechniqueFit, tuple[int, int]] | None:
    """Find the triangle of which the subject is a corner; None for fewer than three things.

    Parameters
    ----------
    subject : Region
    elements : sequence of Region
        Largest first.
    width, height : float
        Of the frame; only their ratio matters.

    Returns
    -------
    tuple or None
        The fit: `point` is the triangle's centroid, `outline` its corners, the subject first,
        `distance` the height that the triangle lacks. Then the indices of the two elements that
        are its other corners.
    """
    least = MIN_AREA_RATIO * subject.area_fraction
    large = [index for index, element in enumerate(elements) if element.area_fraction >= least]
    others = {index: elements[index].centroid for index in large[: MAX_THINGS - 1]}
    if len(others) < 2:
        return None
    frame = np.array([width, height], dtype=np.float64)
    first, second = max(
        combinations(others, 2),
        key=lambda pair: _area(np.array([subject.centroid, *(others[i] for i in pair)]) * frame),
    )
    corners = (subject.centroid, others[first], others[second])
    area = _area(np.array(corners) * frame)
    outline = _area(_outline(np.array([subject.centroid, *others.values()]) * frame))
    longest = max(math.dist(a * frame, b * frame) for a, b in combinations(np.array(corners), 2))
    tall = 2 * area / longest if longest > 0 else 0.0
    fit = min(
        _graded(tall, FLAT_HEIGHT * longest),
        _graded(area / (width * height), MIN_AREA_FRACTION),
        1.0 if area >= MIN_SHARE_OF_OUTLINE * outline else 0.5 * area / outline,
    )
    short_of = max(0.0, FLAT_HEIGHT * longest - tall)
    middle = Point(sum(c.x for c in corners) / 3, sum(c.y for c in corners) / 3)
    found = TechniqueFit(short_of / diagonal_px(width, height), middle, fit, corners)
    return found, (first, second)


def _graded(value: float, least: float) -> float:
    """Scale so that `least` gives 0.5 and `FULL` times as much gives 1."""
    if value < least:
        return 0.5 * value / least
    return min(1.0, 0.5 + 0.5 * (value / max(least, 1e-12) - 1) / (FULL - 1))


def _outline(points: Floats) -> Floats:
    """Corners of the convex hull, in order (Andrew's monotone chain, 1979)."""
    ordered = sorted(set(map(tuple, points.tolist())))
    chain: list[tuple[float, float]] = []
    for course in (ordered, ordered[::-1]):
        start = len(chain)
        for point in course:
            while len(chain) >= start + 2 and _turn(chain[-2], chain[-1], point) <= 0:
                chain.pop()
            chain.append(point)
        chain.pop()  # it is the first point of the other course
    return np.array(chain).reshape(-1, 2)


def _turn(a: Sequence[float], b: Sequence[float], c: Sequence[float]) -> float:
    """Twice the area of a triangle, positive if it turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _area(corners: Floats) -> float:
    """Area of a polygon by the shoelace formula."""
    x, y = corners.T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2
