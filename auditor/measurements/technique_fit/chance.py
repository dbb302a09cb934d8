"""How much of the frame lies as near to a technique as the subject: its nearness by chance.

A subject is always near to some line: half of a 3:2 frame lies within 0.07 of a diagonal. How
unlikely a nearness is compares a line with a point, and four points with one. All techniques that
divide the frame are symmetrical about both of its axes. So the nearest of four points is the one in
the same quarter of the frame, the nearest diagonal is that of the same quarter, and the share of a
quarter is the share of the frame.
"""

from __future__ import annotations

import math

from auditor.geometry import Point, diagonal_px


def share_near_points(point: Point, distance: float, width: float, height: float) -> float:
    """Share of the frame that lies near to one of a technique's points.

    Parameters
    ----------
    point : Point
        One of them; the others are its mirror images about the frame's axes.
    distance : float
        As a fraction of the diagonal.
    width, height : float
        Of the frame; only their ratio matters.
    """
    radius = distance * diagonal_px(width, height)
    right, down = width / 2, height / 2
    x, y = abs(point.x - 0.5) * width, abs(point.y - 0.5) * height
    disc = sum(
        _quarter_disc(radius, across, along) for across in (x, right - x) for along in (y, down - y)
    )
    return disc / (right * down)


def share_near_diagonals(_point: Point, distance: float, width: float, height: float) -> float:
    """Share of the frame that lies near to one of its diagonals; as `share_near_points`."""
    # A diagonal divides its quarter into two triangles. What is farther from it is a smaller
    # triangle of the same shape.
    tallest = width * height / (2 * (width**2 + height**2))
    return 1 - max(0.0, 1 - distance / tallest) ** 2


def share_near_upright_axis(_point: Point, distance: float, width: float, height: float) -> float:
    """Share of the frame that lies near to its upright axis; as `share_near_points`."""
    return min(1.0, 2 * distance * diagonal_px(width, height) / width)


def _quarter_disc(radius: float, across: float, down: float) -> float:
    """Area that a quarter of a disc has in common with a rectangle from the disc's centre."""
    if across**2 + down**2 <= radius**2:
        return across * down
    x, y = min(across, radius), min(down, radius)
    # Two right-angled triangles beside the sides, and the sector between them.
    triangles = (x * math.sqrt(radius**2 - x**2) + y * math.sqrt(radius**2 - y**2)) / 2
    return triangles + radius**2 / 2 * (math.asin(x / radius) - math.acos(y / radius))
