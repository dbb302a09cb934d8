"""Closed outlines as polygons: area, centroid, what lies inside them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from auditor.geometry import Box, Point
from auditor.plan_sheet.drawing import Points, box_of, common_area, corners_of, grown


def area_and_centroid(outline: Sequence[Point]) -> tuple[float, Point]:
    """Signed area and centroid of a polygon, whose area must not be 0."""
    twice = x = y = 0.0
    for a, b in zip(outline, [*outline[1:], outline[0]], strict=True):
        cross = a.x * b.y - b.x * a.y
        twice += cross
        x += (a.x + b.x) * cross
        y += (a.y + b.y) * cross
    return twice / 2, Point(x / (3 * twice), y / (3 * twice))


def is_inside(outline: Sequence[Point], point: Point) -> bool:
    """Whether a point lies inside a polygon."""
    inside = False
    for a, b in zip(outline, [*outline[1:], outline[0]], strict=True):
        if (a.y > point.y) != (b.y > point.y):
            share = (point.y - a.y) / (b.y - a.y)
            inside ^= point.x < a.x + share * (b.x - a.x)
    return inside


def box_is_inside(outline: Sequence[Point], box: Box) -> bool:
    """Whether all corners of a box lie inside a polygon."""
    return all(is_inside(outline, corner) for corner in corners_of(box))


def clipped(outline: Iterable[Point], box: Box) -> Points:
    """The part of a polygon inside a box (Sutherland and Hodgman 1974); empty where there is none.

    Parameters
    ----------
    outline : iterable of Point
        Convex, so that the part is one polygon.
    box : Box
    """
    points = list(outline)
    for side, limit, sign in (
        (0, box.left, 1.0),
        (0, box.right, -1.0),
        (1, box.top, 1.0),
        (1, box.bottom, -1.0),
    ):
        points = _cut(points, [sign * (p[side] - limit) for p in points])
    return tuple(points)


def _cut(points: list[Point], depths: list[float]) -> list[Point]:
    """The part of a polygon in which the depth of its points is not negative."""
    kept: list[Point] = []
    for i, (b, at_b) in enumerate(zip(points, depths, strict=True)):
        a, at_a = points[i - 1], depths[i - 1]
        if (at_a < 0) != (at_b < 0):
            share = at_a / (at_a - at_b)
            kept.append(Point(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)))
        if at_b >= 0:
            kept.append(b)
    return kept


def outside_of(line: Sequence[Point], outlines: Sequence[Points], step: float) -> list[Points]:
    """The parts of a straight line that lie in none of the outlines, to about `step`."""
    (ax, ay), (bx, by) = line
    around = grown(box_of(line), step)
    near = [outline for outline in outlines if common_area(around, box_of(outline)) > 0]
    n = max(1, round((abs(bx - ax) + abs(by - ay)) / step))
    parts: list[list[Point]] = [[]]
    for i in range(n + 1):
        point = Point(ax + (bx - ax) * i / n, ay + (by - ay) * i / n)
        if any(is_inside(outline, point) for outline in near):
            parts.append([])
        else:
            parts[-1].append(point)
    return [(part[0], part[-1]) for part in parts if len(part) > 1]
