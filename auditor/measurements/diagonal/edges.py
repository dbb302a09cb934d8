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
from numpy.typing import NDArray

from auditor.geometry import Ellipse, Point, angle_difference_deg, diagonal_px
from auditor.line_segments import LineSegments
from auditor.measurements.diagonal.line_of_force import MIN_SLANT_DEG, ends_on_frame, is_slanted

Floats = NDArray[np.float64]

POOL_OFFSET_FRACTION = 0.012  # of the diagonal, across the line: the two edges of a chopstick
POOL_ANGLE_DEG = 5.0  # a segment of `MIN_LENGTH_PX` is uncertain by about 2 degrees
N_SEEDS = 30  # the strongest line is always among those through the longest segments
N_SEGMENTS = 400  # the longest ones; the rest is crumbs
FULL_REACH_FRACTION = 0.75  # of the short side: a line covered by edges so far counts in full
FULL_CHORD_FRACTION = 0.8  # of the short side: a line that only cuts a corner leads nowhere
HALF_CONTRAST = 0.06  # of full scale: a step that counts half; a fold in a cloth has about 0.1
RIM_RANGE = (0.35, 1.5)  # of the rim's radius: within lie the well, the lip and the contact shadow
RIM_ANGLE_DEG = 14.0  # a segment so near to the tangent of a rim is a part of it
PATTERN_ANGLE_DEG = 6.0  # lines so near in angle are parallel
RIVAL_ANGLE_DEG = 10.0  # a line so far off in angle leads elsewhere
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
    strength, rival_strength : float
        In [0, 1]: its own, and that of the strongest line that leads elsewhere.
    """

    angle_deg: float
    ends: tuple[Point, Point]
    strength: float
    rival_strength: float = 0.0


def without_rims(segments: LineSegments, rims: Sequence[Ellipse]) -> LineSegments:
    """Drop segments that run along a rim or along a ring inside or outside it."""
    diagonal = diagonal_px(segments.width, segments.height)
    kept = np.ones(len(segments), dtype=bool)
    angles = np.degrees(np.arctan2(-segments.directions[:, 1], segments.directions[:, 0]))
    for rim in rims:
        tilt = math.radians(rim.angle_deg)
        x = segments.centres[:, 0] - rim.centre.x * segments.width
        y = rim.centre.y * segments.height - segments.centres[:, 1]
        major, minor = (max(axis * diagonal, 1.0) for axis in rim.semi_axes)
        u = (x * math.cos(tilt) + y * math.sin(tilt)) / major
        v = (y * math.cos(tilt) - x * math.sin(tilt)) / minor
        radius = np.hypot(u, v)
        tangent = np.degrees(np.arctan2(minor * u, -major * v)) + rim.angle_deg
        off = np.abs(np.mod(angles - tangent + 90, 180) - 90)
        near = (radius > RIM_RANGE[0]) & (radius < RIM_RANGE[1])
        kept &= ~(near & (off < RIM_ANGLE_DEG) & (segments.lengths_px < major))
    return segments.chosen(kept)


def strongest_line(segments: LineSegments) -> EdgeLine | None:
    """Pool the slanted segments into lines and return the strongest one."""
    angles = np.abs(segments.angles_deg)
    slanted = (angles > MIN_SLANT_DEG - POOL_ANGLE_DEG) & (
        angles < 90 - MIN_SLANT_DEG + POOL_ANGLE_DEG
    )
    usable = segments.chosen(slanted)
    usable = usable.chosen(np.argsort(-usable.lengths_px, kind="stable")[:N_SEGMENTS])
    lines = _pooled(usable)
    if not lines:
        return None
    rated = [_weighed(line, lines) for line in lines]
    best = max(rated, key=lambda line: line.strength)
    rivals = [
        line.strength
        for line in rated
        if angle_difference_deg(line.angle_deg, best.angle_deg) > RIVAL_ANGLE_DEG
    ]
    return replace(best, rival_strength=max(rivals, default=0.0))


def _pooled(segments: LineSegments) -> list[EdgeLine]:
    """Gather segments on one line, longest first, each used once."""
    free = np.ones(len(segments), dtype=bool)
    lines = []
    for _ in range(N_SEEDS):
        if not free.any():
            break
        seed = int(np.argmax(np.where(free, segments.lengths_px * segments.contrasts, -1)))
        centre, direction = segments.centres[seed], segments.directions[seed]
        members = _on_line(segments, centre, direction) & free
        members[seed] = True
        centre, direction = _fitted(segments.chosen(members))
        members = _on_line(segments, centre, direction) & free
        members[seed] = True
        free &= ~members
        line = _line(segments.chosen(members))
        if is_slanted(line.angle_deg):
            lines.append(line)
    return lines


def _on_line(segments: LineSegments, centre: Floats, direction: Floats) -> NDArray[np.bool_]:
    """Which segments lie within a narrow band around a line, along it."""
    tolerance = POOL_OFFSET_FRACTION * diagonal_px(segments.width, segments.height)
    normal = np.array([-direction[1], direction[0]])
    offset = np.abs((segments.centres - centre) @ normal)
    sine = np.abs(segments.directions @ normal)
    near: NDArray[np.bool_] = offset + sine * segments.lengths_px / 2 <= tolerance
    return near & (sine <= math.sin(math.radians(POOL_ANGLE_DEG)))


def _fitted(segments: LineSegments) -> tuple[Floats, Floats]:
    """Total least squares line through whole segments, weighted with length and contrast."""
    weight = segments.lengths_px * segments.contrasts
    share = weight / weight.sum()
    centre = share @ segments.centres
    apart = segments.centres - centre
    # A segment is a rod: its own second moment adds to that of its centre.
    own = segments.directions * (segments.lengths_px / math.sqrt(12))[:, np.newaxis]
    moment = (share[:, np.newaxis] * apart).T @ apart + (share[:, np.newaxis] * own).T @ own
    direction = np.linalg.eigh(moment)[1][:, -1]
    return centre, direction if direction[0] >= 0 else -direction


def _line(members: LineSegments) -> EdgeLine:
    centre, direction = _fitted(members)
    along = (members.centres - centre) @ direction
    covered = _union_length(along - members.lengths_px / 2, along + members.lengths_px / 2)
    contrast = float(members.lengths_px @ members.contrasts) / float(members.lengths_px.sum())
    angle = math.degrees(math.atan2(-direction[1], direction[0]))
    ends = ends_on_frame((float(centre[0]), float(centre[1])), angle, members.width, members.height)
    chord = math.hypot(
        (ends[1].x - ends[0].x) * members.width, (ends[1].y - ends[0].y) * members.height
    )
    short_side = min(members.width, members.height)
    reach = min(1.0, covered / (FULL_REACH_FRACTION * short_side))
    crossing = min(1.0, chord / (FULL_CHORD_FRACTION * short_side))
    return EdgeLine(angle, ends, reach * crossing * contrast / (contrast + HALF_CONTRAST))


def _union_length(low: Floats, high: Floats) -> float:
    """Total length that intervals cover together."""
    order = np.argsort(low, kind="stable")
    reached, covered = -math.inf, 0.0
    for start, end in zip(low[order], high[order], strict=True):
        covered += max(0.0, float(end) - max(float(start), reached))
        reached = max(reached, float(end))
    return covered


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
