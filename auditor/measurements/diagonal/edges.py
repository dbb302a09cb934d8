"""The strongest slanted line that edges draw: a board, a knife, a fold, the end of a table.

Straight edges on one line are pooled; the line's strength grows with the length that edges
cover, with their contrast, and falls where many parallel lines share the frame, since a weave
or a grain is a pattern and not one line of force.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from auditor.geometry import Point, angle_difference_deg
from auditor.line_segments import LineSegments, PooledLine, pool_segments
from auditor.line_segments.pooling import POOL_ANGLE_DEG
from auditor.measurements.diagonal.line_of_force import MIN_SLANT_DEG, ends_on_frame, is_slanted

MAX_LINES = 30  # the strongest line is always among those through the longest segments
FULL_REACH_FRACTION = 0.75  # of the short side: a line covered by edges so far counts in full
FULL_CHORD_FRACTION = 0.8  # of the short side: a line that only cuts a corner leads nowhere
HALF_CONTRAST = 0.06  # of full scale: a step that counts half; a fold in a cloth has about 0.1
PATTERN_ANGLE_DEG = 6.0  # lines so near in angle are parallel
RIVAL_ANGLE_DEG = 10.0  # a line so far off in angle leads elsewhere
RIVAL_SHARE = 0.5  # of a rival's strength; the two sides of a cloth or a tray lead nowhere together
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


def _rated(line: PooledLine, width: int, height: int) -> EdgeLine:
    ends = ends_on_frame(line.centre, line.angle_deg, width, height)
    chord = math.hypot((ends[1].x - ends[0].x) * width, (ends[1].y - ends[0].y) * height)
    short_side = min(width, height)
    reach = min(1.0, line.covered_px / (FULL_REACH_FRACTION * short_side))
    crossing = min(1.0, chord / (FULL_CHORD_FRACTION * short_side))
    step = line.contrast / (line.contrast + HALF_CONTRAST)
    return EdgeLine(line.angle_deg, ends, reach * crossing * step)


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
