"""What a dominant diagonal is, and where a line meets the frame."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from auditor.geometry import Point


@dataclass(frozen=True, slots=True)
class Diagonal:
    """A slanted line across the frame.

    Attributes
    ----------
    angle_deg : float
        In (-90, 90], rising to the right is positive; the quantity's tolerance is in degrees.
    ends : tuple of Point
        Where the line meets the frame (edges) or its outermost elements (arrangement), from the
        left to the right.
    strength : float
        In [0, 1], higher is stronger; comparable between pictures.
    drawn_by : str
        ``"edges"`` or ``"arrangement"``.
    """

    angle_deg: float
    ends: tuple[Point, Point]
    strength: float
    drawn_by: Literal["edges", "arrangement"]


def ends_on_frame(
    through: tuple[float, float], angle_deg: float, width: float, height: float
) -> tuple[Point, Point]:
    """Where a slanted line through a position in px, inside the frame, meets the frame's edge."""
    right, down = math.cos(math.radians(angle_deg)), -math.sin(math.radians(angle_deg))
    x, y = through
    forward = min((width - x) / right, ((height - y) if down > 0 else -y) / down)
    backward = min(x / right, (y if down > 0 else y - height) / down)
    return (
        Point((x - backward * right) / width, (y - backward * down) / height),
        Point((x + forward * right) / width, (y + forward * down) / height),
    )


def lesser_share(ends: tuple[Point, Point]) -> float:
    """Share of the frame on the lesser side of a line with both ends on the frame's edge."""
    left, right = ends
    # Beside the ends the line has left the frame by its upper or its lower edge.
    above = left.x * left.y + (right.x - left.x) * (left.y + right.y) / 2 + (1 - right.x) * right.y
    return min(above, 1 - above)
