"""The strongest slanted line that edges draw: a board, a knife, a fold, the end of a table.

Straight edges on one line are pooled; the line's strength grows with the length that edges
cover, with their contrast, and falls where many parallel lines share the frame, since a weave
or a grain is a pattern and not one line of force.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from auditor.geometry import Point, angle_difference_deg
from auditor.line_segments import (
    MIN_SLANT_DEG,
    LineSegments,
    PooledLine,
    is_slanted,
    pool_segments,
)
from auditor.line_segments.pooling import POOL_ANGLE_DEG
from auditor.measurements.diagonal.line_of_force import ends_on_frame, lesser_share

MAX_LINES = 30  # the strongest line is always among those through the longest segments
FULL_REACH_FRACTION = 0.75  # of the short side: a line covered by edges so far counts in full
# Of the frame, on the lesser side: as a line from a corner to the first third of a far side leaves.
# A line that only cuts off a corner leads nowhere.
FULL_DIVISION = 1 / 6
PATTERN_ANGLE_DEG = 6.0  # lines so near in angle are parallel
RIVAL_ANGLE_DEG = 15.0  # further apart two lines are not two sides of one thing in perspective
# Of a rival's strength: of two lines of full strength neither is dominant (the sides of a cloth, of
# a tray), since less is left of either than a diagonal needs (`MIN_STRENGTH`).
RIVAL_SHARE = 0.65
PATTERN_LINES = 3.0  # so many equal parallels are still one thing (the two sides of a board)


@dataclass(frozen=True, slots=True)
class EdgeLine:
    """A pooled line.

    Attributes
    ----------
    angle_deg : float
        In (-90, 90].
    ends : tuple of Point
        Where it meets the frame, from the left to the right.
    strength : float
        In [0, 1], what a strong rival takes away deducted.
    """

    angle_deg: float
    ends: tuple[Point, Point]
    strength: float


def strongest_line(segments: LineSegments) -> EdgeLine | None:
    """Pool the slanted segments into lines and return the strongest one."""
    angles = np.abs(segments.angles_deg)
    least = MIN_SLANT_DEG - POOL_ANGLE_DEG
    slanted = segments.chosen((angles > least) & (angles < 90 - least))
    lines = [
        _rated(line, segments.width, segments.height)
        for line in pool_segments(slanted, MAX_LINES)
        if is_slanted(line.angle_deg)
    ]
    if not lines:
        return None
    rated = [_weighed(line, lines) for line in lines]
    best = max(rated, key=lambda line: line.strength)
    rivals = [
        line.strength
        for line in rated
        if angle_difference_deg(line.angle_deg, best.angle_deg) > RIVAL_ANGLE_DEG
    ]
    rival = max(rivals, default=0.0)
    dominant = max(best.strength - RIVAL_SHARE * rival, 0.0)
    return replace(best, strength=dominant)


def _rated(line: PooledLine, width: float, height: float) -> EdgeLine:
    ends = ends_on_frame(line.centre, line.angle_deg, width, height)
    reach = min(1.0, line.covered_px / (FULL_REACH_FRACTION * min(width, height)))
    division = min(1.0, lesser_share(ends) / FULL_DIVISION)
    return EdgeLine(line.angle_deg, ends, reach * division * line.prominence)


def _weighed(line: EdgeLine, lines: Sequence[EdgeLine]) -> EdgeLine:
    """Weaken a line that is one of many parallels of about its own strength."""
    parallel = np.array(
        [
            min(other.strength / line.strength, 1.0)
            for other in lines
            if abs(other.angle_deg - line.angle_deg) <= PATTERN_ANGLE_DEG
        ]
    )
    n_alike = float((parallel**2).sum())
    return replace(line, strength=line.strength * min(1.0, PATTERN_LINES / n_alike))
