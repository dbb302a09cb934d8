"""The lines of each technique over the frame, as an aid to the eye."""

from __future__ import annotations

import math

from auditor.geometry import GOLDEN_RATIO, Point
from auditor.golden_spiral import golden_spiral_curve

Line = tuple[Point, Point]


def technique_lines(
    technique: str, width: float, height: float, near: Point | None = None
) -> tuple[tuple[Point, ...], ...]:
    """Lines of a technique in pixels of a frame; none for a technique without lines.

    Parameters
    ----------
    technique : str
        A name of `auditor.vocabulary.techniques.TECHNIQUES`.
    width, height : float
        Of the frame, pixels.
    near : Point or None
        Golden triangles come in two mirrored forms and the golden spiral in four: the one that
        passes or ends nearer to this point is drawn (pixels).
    """
    if technique == "rule of thirds":
        return _grid((1 / 3, 2 / 3), width, height)
    if technique == "golden ratio":
        return _grid((1 - 1 / GOLDEN_RATIO, 1 / GOLDEN_RATIO), width, height)
    if technique == "centred":
        return _grid((1 / 2,), width, height)
    if technique == "symmetry":
        return ((Point(width / 2, 0), Point(width / 2, height)),)
    falling = (Point(0, 0), Point(width, height))
    rising = (Point(0, height), Point(width, 0))
    if technique == "diagonals":
        return (falling, rising)
    if technique == "golden triangles":
        return _golden_triangles(width, height, near)
    if technique == "golden spiral":
        eye = near or Point(width, 0)
        curve = golden_spiral_curve(Point(eye.x / width, eye.y / height), width, height)
        return (tuple(Point(p.x * width, p.y * height) for p in curve),)
    return ()


def _grid(parts: tuple[float, ...], width: float, height: float) -> tuple[Line, ...]:
    upright = tuple((Point(f * width, 0), Point(f * width, height)) for f in parts)
    level = tuple((Point(0, f * height), Point(width, f * height)) for f in parts)
    return upright + level


def _golden_triangles(width: float, height: float, near: Point | None) -> tuple[Line, ...]:
    """One diagonal, and onto it the perpendiculars from the two free corners."""
    share = width**2 / (width**2 + height**2)
    falling = (
        (Point(0, 0), Point(width, height)),
        (Point(width, 0), Point(share * width, share * height)),
        (Point(0, height), Point((1 - share) * width, (1 - share) * height)),
    )
    rising = tuple((Point(width - a.x, a.y), Point(width - b.x, b.y)) for a, b in falling)
    if near is None:
        return falling
    return min(falling, rising, key=lambda lines: min(_distance(near, line) for line in lines))


def _distance(point: Point, line: Line) -> float:
    """Distance of a point from a stretch of line, pixels."""
    (ax, ay), (bx, by) = line
    dx, dy = bx - ax, by - ay
    along = ((point.x - ax) * dx + (point.y - ay) * dy) / (dx**2 + dy**2)
    along = min(max(along, 0.0), 1.0)
    return math.hypot(point.x - ax - along * dx, point.y - ay - along * dy)
