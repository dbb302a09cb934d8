"""The strongest slanted line drawn by edges: a board, a knife, a fold, the edge of a table.

Straight edges on one line are pooled. The strength of a line grows with the length covered by
edges and with their contrast. It is reduced where there are many parallel lines, since a weave or a
grain is a pattern, not a line of force.
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
from auditor.measurements.diagonal.line_of_force import ends_on_frame, rated_division

MAX_LINES = 30  # the strongest line is always among those through the longest segments
FULL_LENGTH_FRACTION = 0.75  # edge on a line, of the short side, from which its strength is full
PATTERN_ANGLE_DEG = 6.0  # largest angle between parallel lines
RIVAL_ANGLE_DEG = 15.0  # largest angle between two sides of one thing in perspective
# Share of the strongest rival's strength that is subtracted. Of two lines of full strength neither
# is dominant (the sides of a cloth or a tray): the rest is below the threshold of a diagonal.
RIVAL_SHARE = 0.65
PATTERN_LINES = 3.0  # largest number of parallel lines of one thing (the two sides of a board)


@dataclass(frozen=True, slots=True)
class EdgeLine:
    """A slanted line of pooled edges, or the axis of one long thing.

    Attributes
    ----------
    angle_deg : float
        In (-90, 90].
    ends : tuple of Point
        Where it meets the frame, the left end first.
    strength : float
        In [0, 1], reduced for parallel lines.
    """

    angle_deg: float
    ends: tuple[Point, Point]
    strength: float


def slanted_lines(segments: LineSegments) -> list[EdgeLine]:
    """Pool the slanted segments into lines and rate each."""
    angles = np.abs(segments.angles_deg)
    least = MIN_SLANT_DEG - POOL_ANGLE_DEG
    slanted = segments.chosen((angles > least) & (angles < 90 - least))
    lines = [
        _edge_line(line, segments.width, segments.height)
        for line in pool_segments(slanted, MAX_LINES)
        if is_slanted(line.angle_deg)
    ]
    return [_reduced_for_parallels(line, lines) for line in lines]


def strongest_line(lines: Sequence[EdgeLine]) -> EdgeLine | None:
    """Find the strongest line, reduced for a strong rival; None if there is no line."""
    if not lines:
        return None
    best = max(lines, key=lambda line: line.strength)
    rivals = [
        line.strength
        for line in lines
        if angle_difference_deg(line.angle_deg, best.angle_deg) > RIVAL_ANGLE_DEG
    ]
    rival = max(rivals, default=0.0)
    dominant = max(best.strength - RIVAL_SHARE * rival, 0.0)
    return replace(best, strength=dominant)


def _edge_line(line: PooledLine, width: float, height: float) -> EdgeLine:
    """Rate a pooled line by its length, its division of the frame and its contrast."""
    ends = ends_on_frame(line.centre, line.angle_deg, width, height)
    length = min(1.0, line.covered_px / (FULL_LENGTH_FRACTION * min(width, height)))
    return EdgeLine(line.angle_deg, ends, length * rated_division(ends) * line.prominence)


def _reduced_for_parallels(line: EdgeLine, lines: Sequence[EdgeLine]) -> EdgeLine:
    """Reduce the strength of a line that is one of many parallels of similar strength."""
    parallel = np.array(
        [
            min(other.strength / line.strength, 1.0)
            for other in lines
            if abs(other.angle_deg - line.angle_deg) <= PATTERN_ANGLE_DEG
        ]
    )
    n_alike = float((parallel**2).sum())
    return replace(line, strength=line.strength * min(1.0, PATTERN_LINES / n_alike))
