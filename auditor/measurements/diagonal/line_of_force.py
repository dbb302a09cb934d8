"""The value type of the diagonal, and where a line meets the frame."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from auditor.geometry import Point

# Share of the frame on the smaller side of a line, from which its strength is full: that of a line
# from a corner to the first third of a far side. A line that cuts off a corner leads nowhere.
FULL_DIVISION = 1 / 6


@dataclass(frozen=True, slots=True)
class Diagonal:
    """A slanted line across the frame.

    Attributes
    ----------
    angle_deg : float
        In (-90, 90], positive if rising to the right. The quantity's tolerance is in degrees.
    ends : tuple of Point
        The left and the right end: where the line meets the frame (edges), or the outermost
        centroids projected onto it (arrangement).
    strength : float
        In [0, 1], higher is stronger; comparable between pictures.
    drawn_by : str
        ``"edges"`` or ``"arrangement"``. The axis of one long thing counts as edges: its own
        outline draws the line, and nothing has to stand in a row for it.
    """

    angle_deg: float
    ends: tuple[Point, Point]
    strength: float
    drawn_by: Literal["edges", "arrangement"]


def ends_on_frame(
    through: tuple[float, float], angle_deg: float, width: float, height: float
) -> tuple[Point, Point]:
    """Find where a slanted line meets the edge of the frame.

    Parameters
    ----------
    through : tuple of float
        A position (x, y) on the line, inside the frame, in px.
    angle_deg : float
        Neither 0 nor 90.
    width, height : float
        Of the frame, in px.

    Returns
    -------
    tuple of Point
        The left and the right end.
    """
    right, down = math.cos(math.radians(angle_deg)), -math.sin(math.radians(angle_deg))
    x, y = through
    forward = min((width - x) / right, ((height - y) if down > 0 else -y) / down)
    backward = min(x / right, (y if down > 0 else y - height) / down)
    return (
        Point((x - backward * right) / width, (y - backward * down) / height),
        Point((x + forward * right) / width, (y + forward * down) / height),
    )


def smaller_share(ends: tuple[Point, Point]) -> float:
    """Share of the frame on the smaller side of a line whose ends lie on the frame's edge."""
    left, right = ends
    # To the left and right of its ends, the line has left the frame at the top or the bottom.
    above = left.x * left.y + (right.x - left.x) * (left.y + right.y) / 2 + (1 - right.x) * right.y
    return min(above, 1 - above)


def rated_division(ends: tuple[Point, Point]) -> float:
    """Rate how a line divides the frame: 1 from `FULL_DIVISION` on, less for a smaller share."""
    return min(1.0, smaller_share(ends) / FULL_DIVISION)
