"""The golden spiral: its eye, and its curve through the whirling squares.

A golden rectangle without a square is a golden rectangle again. The spiral consists of a quarter
circle in each square. Its eye is the point that all the rectangles share, where the diagonal of
the whole meets that of the remaining rectangle. The eye divides both sides at (5 + sqrt 5) / 10 =
0.7236 (OEIS A242671; it is phi^2 / (1 + phi^2)) or at the complement, 0.2764: four eyes, one in
each quarter of the frame. For other aspect ratios the golden rectangle is stretched over the frame,
as is common practice: the eyes keep their fractions of the sides, and the quarter circles become
quarter ellipses. The long side lies along the frame's long side; the fractions do not depend on it.
"""

from __future__ import annotations

import math

from auditor.geometry import GOLDEN_RATIO, Point

EYE = GOLDEN_RATIO**2 / (1 + GOLDEN_RATIO**2)
N_QUARTERS = 8  # the ninth square is 2 % of the short side: a dot
N_STEPS = 8  # chords in a quarter circle: they deviate by half a percent of its radius


def golden_spiral_eyes() -> tuple[Point, Point, Point, Point]:
    """The four eyes: upper left, upper right, lower left, lower right."""
    near, far = 1 - EYE, EYE
    return (Point(near, near), Point(far, near), Point(near, far), Point(far, far))


def golden_spiral_curve(eye: Point, width: float, height: float) -> tuple[Point, ...]:
    """The spiral around the eye nearest to a position, as fractions, from outside to inside."""
    along, across = _spiral()
    if width < height:
        along, across = across, along
    right, low = eye.x >= 0.5, eye.y >= 0.5
    return tuple(
        Point(x if right else 1 - x, y if low else 1 - y)
        for x, y in zip(along, across, strict=True)
    )


def _spiral() -> tuple[list[float], list[float]]:
    """Fractions along the long and the short side, the eye at (`EYE`, `EYE`)."""
    # Squares are cut off the left, top, right and bottom of the remaining rectangle in turn. Each
    # quarter circle is centred on the corner that its square shares with the remaining rectangle.
    left, top, right, bottom = 0.0, 0.0, GOLDEN_RATIO, 1.0
    along, across = [], []
    for quarter in range(N_QUARTERS):
        side = min(right - left, bottom - top)
        turn = quarter % 4
        if turn == 0:
            centre, left = (left + side, bottom), left + side
        elif turn == 1:
            centre, top = (left, top + side), top + side
        elif turn == 2:
            centre, right = (right - side, top), right - side
        else:
            centre, bottom = (right, bottom - side), bottom - side
        for step in range(N_STEPS + 1):
            angle = math.pi / 2 * (2 - quarter - step / N_STEPS)
            along.append((centre[0] + side * math.cos(angle)) / GOLDEN_RATIO)
            across.append(centre[1] - side * math.sin(angle))
    return along, across
