"""Straight edges that lead to the subject.

Segments on one line are pooled, near parallels (the two sides of a spoon) are one thing. A line
leads to the subject where it begins outside, points into it and ends before it; one that goes on
behind it only passes, one that is level or upright belongs to the ground. In any picture with many
lines some point at the subject by chance, so those that do must hold a good part of the lines'
weight, and so many doing so by chance must be less likely than not.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import (
    Ellipse,
    Point,
    Region,
    angle_difference_deg,
    diagonal_px,
    distance_fraction,
)
from auditor.line_segments import LineSegments, PooledLine, pool_segments, without_rims
from auditor.measurements.leading_lines.leading import LeadingLines

Floats = NDArray[np.float64]

MAX_LINES = 24  # the strongest ones; what follows is texture
MIN_LENGTH_FRACTION = 0.15  # of the diagonal: a fork beside a plate has about 0.2
MIN_LEADING_FRACTION = 0.17  # of the diagonal, for one that leads; stubs point anywhere
# Of full scale, for one that leads: of fainter ones in 467 photographs most led nowhere.
MIN_CONTRAST = 0.15
MAX_GAP_FRACTION = 0.05  # of the diagonal: a longer gap parts two lines
OFFSET_FRACTION = 0.012  # of the diagonal, across a line: as lines are pooled
HALF_CONTRAST = 0.06  # of full scale: a step that counts half, as for the dominant diagonal
AIM_SHARE = 0.5  # of the subject's half width: a line past this points beside it
MIN_APPROACH = 0.8  # of its length by which a line comes nearer to the subject
MAX_REST_FRACTION = 0.25  # of the diagonal, between line and subject: beyond it the eye lets go
PASSING_SHARE = 0.25  # of its length found again behind the subject: the line passes
SAME_ANGLE_DEG, SAME_OFFSET_FRACTION = 8.0, 0.06  # two sides of one handle, knife or board
MIN_SLANT_DEG = 12.0  # nearer to level or upright is the ground or a wall; common practice
MIN_WEIGHT_SHARE = 0.3  # of all lines' weight; of 167 food photographs those below led nowhere
MAX_CHANCE = 0.5  # that so many lines of any direction point at the subject
MIN_CROSSING_DEG = 10.0  # lines more alike meet at no certain point
MOST_CONFIDENCE = 0.75  # in 467 photographs 8 were found, of which 6 led to the subject by eye


@dataclass(frozen=True, slots=True)
class _Line:
    """A stretch of edge in px of the reduced picture; `far` and `near` as seen from the subject."""

    far: Floats
    near: Floats
    weight: float
    leads: bool
    by_chance: float

    @property
    def direction(self) -> Floats:
        along = self.near - self.far
        return np.asarray(along / np.linalg.norm(along), dtype=np.float64)


def leading_edges(
    segments: LineSegments, subject: Region, rims: Sequence[Ellipse]
) -> tuple[LeadingLines, float] | None:
    """Find the lines that lead to the subject, with their confidence; None as a rule."""
    lines = _things(_lines(without_rims(segments, rims), subject), segments)
    leading = [line for line in lines if line.leads]
    if not leading:
        return None
    share = sum(line.weight for line in leading) / sum(line.weight for line in lines)
    chance = _chance(len(leading), [line.by_chance for line in lines])
    if share < MIN_WEIGHT_SHARE or chance > MAX_CHANCE:
        return None
    frame = np.array([segments.width, segments.height], dtype=np.float64)
    meets = _point(_meeting(leading, np.array(subject.centroid) * frame), frame)
    value = LeadingLines(
        "lines",
        meets,
        distance_fraction(meets, subject.centroid, segments.width, segments.height),
        share,
        tuple((_point(line.far, frame), _point(line.near, frame)) for line in leading),
    )
    return value, MOST_CONFIDENCE * (1 - chance) * min(1.0, 2 * share)


def _point(position: Floats, frame: Floats) -> Point:
    x, y = position / frame
    return Point(float(x), float(y))


def _lines(segments: LineSegments, subject: Region) -> list[_Line]:
    """All strong stretches of edge outside the subject."""
    frame = np.array([segments.width, segments.height], dtype=np.float64)
    box = subject.bbox
    low, high = np.array([box.left, box.top]) * frame, np.array([box.right, box.bottom]) * frame
    inside = (segments.centres > low) & (segments.centres < high)
    outer = segments.chosen(~(inside[:, 0] & inside[:, 1]))
    if len(outer) == 0:
        return []
    lines = [_line(line, outer, subject, low, high) for line in pool_segments(outer, MAX_LINES)]
    return [line for line in lines if line is not None]


def _line(
    pooled: PooledLine, segments: LineSegments, subject: Region, low: Floats, high: Floats
) -> _Line | None:
    """The longest stretch of a pooled line, and whether it leads to the subject."""
    diagonal = diagonal_px(segments.width, segments.height)
    turn = math.radians(pooled.angle_deg)
    direction = np.array([math.cos(turn), -math.sin(turn)])
    centre = np.array(pooled.centre)
    runs = _runs(segments, centre, direction, diagonal)
    start, end = max(runs, key=lambda run: run[1] - run[0], default=(0.0, 0.0))
    length = end - start
    if length < MIN_LENGTH_FRACTION * diagonal:
        return None
    middle = np.array(subject.centroid) * (segments.width, segments.height)
    ends = [centre + start * direction, centre + end * direction]
    near, far = sorted(ends, key=lambda e: float(np.linalg.norm(e - middle)))
    off = abs(float(direction @ np.array([[0, 1], [-1, 0]]) @ (middle - centre)))
    # Half of the subject's box as the line sees it, from the side.
    half = float(np.abs(np.array([-direction[1], direction[0]])) @ (high - low)) / 2
    to_middle = float((middle - centre) @ direction)
    to_near = float((near - centre) @ direction)
    behind = sum(
        max(0.0, b - a) for a, b in runs if (a + b - 2 * to_middle) * (to_near - to_middle) < 0
    )
    beyond = float(np.linalg.norm(np.maximum(np.maximum(low - near, near - high), 0)))
    approach = float(np.linalg.norm(far - middle) - np.linalg.norm(near - middle))
    leads = (
        _is_slanted(pooled.angle_deg)
        and pooled.contrast >= MIN_CONTRAST
        and length >= MIN_LEADING_FRACTION * diagonal
        and off <= AIM_SHARE * half
        and approach >= MIN_APPROACH * length
        and beyond <= MAX_REST_FRACTION * diagonal
        and behind <= PASSING_SHARE * length
    )
    step = pooled.contrast / (pooled.contrast + HALF_CONTRAST)
    reach = float(np.linalg.norm((near + far) / 2 - middle))
    by_chance = 2 * math.atan2(AIM_SHARE * half, reach) / math.pi
    return _Line(far, near, length * step, leads, min(by_chance, 1.0))


def _is_slanted(angle_deg: float) -> bool:
    return min(angle_difference_deg(angle_deg, level) for level in (0, 90)) >= MIN_SLANT_DEG


def _runs(
    segments: LineSegments, centre: Floats, direction: Floats, diagonal: float
) -> list[tuple[float, float]]:
    """Stretches of a line that segments cover, as places along it, short gaps closed."""
    normal = np.array([-direction[1], direction[0]])
    offset = np.abs((segments.centres - centre) @ normal)
    skew = np.abs(segments.directions @ normal) * segments.lengths_px / 2
    members = segments.chosen(offset + skew <= OFFSET_FRACTION * diagonal)
    along = (members.centres - centre) @ direction
    half = members.lengths_px / 2
    runs: list[tuple[float, float]] = []
    for start, end in sorted(zip((along - half).tolist(), (along + half).tolist(), strict=True)):
        if runs and start - runs[-1][1] <= MAX_GAP_FRACTION * diagonal:
            runs[-1] = (runs[-1][0], max(runs[-1][1], end))
        else:
            runs.append((start, end))
    return runs


def _things(lines: list[_Line], segments: LineSegments) -> list[_Line]:
    """Of near parallels keep the heaviest, one that leads before one that does not."""
    reach = SAME_OFFSET_FRACTION * diagonal_px(segments.width, segments.height)
    sine = math.sin(math.radians(SAME_ANGLE_DEG))
    kept: list[_Line] = []
    for line in sorted(lines, key=lambda line: (-line.leads, -line.weight)):
        middle = (line.far + line.near) / 2
        beside = False
        for other in kept:
            ahead = other.direction
            normal = np.array([-ahead[1], ahead[0]])
            alike = float(line.direction @ ahead) > 0  # coming from the same side
            parallel = alike and abs(float(line.direction @ normal)) < sine
            beside |= parallel and abs(float((middle - other.near) @ normal)) < reach
        if not beside:
            kept.append(line)
    return kept


def _chance(n_leading: int, chances: Sequence[float]) -> float:
    """Probability that at least so many lines of independent directions point at the subject."""
    counts = np.array([1.0])
    for chance in chances:
        counts = np.convolve(counts, [1 - chance, chance])
    return float(counts[n_leading:].sum())


def _meeting(lines: Sequence[_Line], middle: Floats) -> Floats:
    """The point nearest to all lines, weighted; for parallels the one nearest to the subject."""
    matrix, total, weight = np.zeros((2, 2)), np.zeros(2), 0.0
    for line in lines:
        across = line.weight * (np.eye(2) - np.outer(line.direction, line.direction))
        matrix += across
        total += across @ line.near
        weight += line.weight
    # The smaller eigenvalue is the share that stands across the lines' common direction.
    values, axes = np.linalg.eigh(matrix / weight)
    spread = math.sin(math.radians(MIN_CROSSING_DEG) / 2) ** 2
    if values[0] > spread:
        return np.asarray(np.linalg.solve(matrix, total), dtype=np.float64)
    common, normal = axes[:, 0], axes[:, 1]
    offset = sum(line.weight * float(line.near @ normal) for line in lines) / weight
    return np.asarray(common * float(common @ middle) + normal * offset, dtype=np.float64)
