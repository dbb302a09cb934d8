"""What a round thing on the table looks like from the planned camera angle.

From above a dish is a circle, from e degrees an oval of axis ratio sin e. Near the level of the
table the oval would be a line: what one sees there is the thing's side, so it is drawn as an
upright form with a rounded foot, and with its rim as far as the camera sees into it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from auditor.geometry import Point
from auditor.plan_sheet.drawing import Points
from auditor.plan_sheet.polygons import area_and_centroid

N_STEPS = 96  # of a whole oval: at 3000 px it deviates by half a pixel
# Below this angle the side of a thing is drawn. A rim is then flatter than 0.34, and a bowl or a
# glass shows more of its side than of its inside (our choice, no source).
SIDE_BELOW_DEG = 20.0
RIM_FROM_DEG = 4.0  # a flatter rim than 0.07 is a line
# Height over width of the side view: between a bowl (0.6) and a glass (1.5), our choice.
SIDE_HEIGHT = 1.1
FOOT_WIDTH = 0.62  # over the rim's
FOOT_ROUNDING = 0.3  # of the rim's half width
N_FOOT = 16  # points along each part of the foot


@dataclass(frozen=True, slots=True)
class Form:
    """A shape around its centroid, with an area of 1.

    Attributes
    ----------
    outline : tuple of Point
        Closed and convex.
    inner : tuple of tuple of Point
        Lines inside it.
    """

    outline: Points
    inner: tuple[Points, ...] = ()


def form_from(elevation_deg: float) -> Form:
    """The form of a round thing from a camera elevation in [0, 90] degrees."""
    if elevation_deg >= SIDE_BELOW_DEG:
        return _of_unit_area(_arc(1.0, math.sin(math.radians(elevation_deg)), 0.0, 360.0), ())
    flat = math.sin(math.radians(elevation_deg)) if elevation_deg >= RIM_FROM_DEG else 0.0
    top = -SIDE_HEIGHT * math.cos(math.radians(elevation_deg))
    rim = tuple(Point(p.x, p.y + top) for p in _arc(1.0, flat, 180.0, 360.0))
    foot = _foot(flat)
    front = tuple(Point(p.x, p.y + top) for p in _arc(1.0, flat, 180.0, 0.0))
    return _of_unit_area((*rim, *foot), (front,) if flat else ())


def _foot(flat: float) -> Points:
    """From the right side of the foot round its front to the left side."""
    side = Point(1.0 - FOOT_WIDTH, -2 * SIDE_HEIGHT)  # from the corner of the foot to the rim
    length = math.hypot(*side)
    upper = Point(
        FOOT_WIDTH + FOOT_ROUNDING * side.x / length,
        SIDE_HEIGHT + FOOT_ROUNDING * side.y / length,
    )
    corner, lower = Point(FOOT_WIDTH, SIDE_HEIGHT), Point(FOOT_WIDTH - FOOT_ROUNDING, SIDE_HEIGHT)
    right = [_bent(upper, corner, lower, i / N_FOOT) for i in range(N_FOOT + 1)]
    level = [Point(lower.x * (1 - 2 * i / N_FOOT), SIDE_HEIGHT) for i in range(1, N_FOOT)]
    left = [Point(-p.x, p.y) for p in reversed(right)]
    drop = flat * FOOT_WIDTH  # of the foot's front edge
    return tuple(
        Point(p.x, p.y + drop * max(0.0, 1 - (p.x / FOOT_WIDTH) ** 2))
        for p in (*right, *level, *left)
    )


def _bent(start: Point, corner: Point, end: Point, at: float) -> Point:
    """A point of the curve that rounds a corner (a quadratic Bezier curve), `at` in [0, 1]."""
    a, b, c = (1 - at) ** 2, 2 * at * (1 - at), at**2
    return Point(
        a * start.x + b * corner.x + c * end.x,
        a * start.y + b * corner.y + c * end.y,
    )


def _arc(across: float, down: float, first_deg: float, last_deg: float) -> Points:
    """Part of an oval around (0, 0), from one angle to another; 0 is right, 90 is the front."""
    n = max(2, round(N_STEPS * abs(last_deg - first_deg) / 360))
    closed = abs(last_deg - first_deg) >= 360.0
    turns = (
        math.radians(first_deg + (last_deg - first_deg) * i / n) for i in range(n + (not closed))
    )
    return tuple(Point(across * math.cos(turn), down * math.sin(turn)) for turn in turns)


def _of_unit_area(outline: Points, inner: tuple[Points, ...]) -> Form:
    area, middle = area_and_centroid(outline)
    scale = 1 / math.sqrt(abs(area))

    def scaled(points: Points) -> Points:
        return tuple(Point((p.x - middle.x) * scale, (p.y - middle.y) * scale) for p in points)

    return Form(scaled(outline), tuple(scaled(line) for line in inner))
