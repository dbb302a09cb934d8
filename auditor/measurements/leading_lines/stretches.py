"""Stretches of straight edge outside the subject, with their position relative to it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Region, diagonal_px
from auditor.line_segments import LineSegments, PooledLine, pool_segments
from auditor.line_segments.pooling import POOL_OFFSET_FRACTION

Floats = NDArray[np.float64]

MAX_LINES = 24  # the strongest ones; the rest is texture
MIN_LENGTH_FRACTION = 0.1  # of the diagonal: half a fork beside a plate; shorter ones are texture
MAX_GAP_FRACTION = 0.05  # of the diagonal: a longer gap separates two lines


@dataclass(frozen=True, slots=True)
class Target:
    """The subject in pixels of the reduced picture: its centroid and the corners of its box."""

    centroid: Floats
    low: Floats
    high: Floats

    @staticmethod
    def of(subject: Region, segments: LineSegments) -> Target:
        """Convert a subject into the pixels of the segments."""
        frame = np.array([segments.width, segments.height], dtype=np.float64)
        box = subject.bbox
        return Target(
            np.array(subject.centroid) * frame,
            np.array([box.left, box.top]) * frame,
            np.array([box.right, box.bottom]) * frame,
        )

    def holds(self, positions: Floats) -> NDArray[np.bool_]:
        """Mask of the (n, 2) positions that lie in the box."""
        inside = (positions > self.low) & (positions < self.high)
        return np.asarray(inside.all(axis=1))

    def half_width_across(self, direction: Floats) -> float:
        """Half of the box's extent across a direction."""
        right, down = np.abs(direction)
        width, height = self.high - self.low
        return float(down * width + right * height) / 2

    def gap_to(self, position: Floats) -> float:
        """Distance of a position from the box."""
        outside = np.maximum(np.maximum(self.low - position, position - self.high), 0)
        return float(np.linalg.norm(outside))


@dataclass(frozen=True, eq=False)
class Stretch:
    """A stretch of edge in pixels of the reduced picture.

    Attributes
    ----------
    far, near : (2,) float array
        Its ends, by distance from the subject's centroid.
    line : PooledLine
        The line on which it lies.
    behind_px : float
        Length of edge on the same line beyond the subject's centroid.
    """

    far: Floats
    near: Floats
    line: PooledLine
    behind_px: float

    @cached_property
    def length_px(self) -> float:
        """Distance between the ends."""
        return float(np.linalg.norm(self.near - self.far))

    @cached_property
    def direction(self) -> Floats:
        """Unit vector from the far end to the near one."""
        return np.asarray((self.near - self.far) / self.length_px, dtype=np.float64)

    @cached_property
    def middle(self) -> Floats:
        """Halfway between the ends."""
        return np.asarray((self.near + self.far) / 2, dtype=np.float64)

    @cached_property
    def weight(self) -> float:
        """Length, reduced for a faint edge."""
        return self.length_px * self.line.prominence

    def distance_px(self, position: Floats) -> float:
        """Distance of a position from the whole line."""
        right, down = self.direction
        x, y = position - self.near
        return abs(float(x * down - y * right))


def stretches_outside(segments: LineSegments, target: Target) -> list[Stretch]:
    """The longest stretch of each strong line outside the subject, if it is long enough."""
    outer = segments.chosen(~target.holds(segments.centres))
    shortest = MIN_LENGTH_FRACTION * diagonal_px(segments.width, segments.height)
    found = [_longest(line, outer, target) for line in pool_segments(outer, MAX_LINES)]
    return [stretch for stretch in found if stretch.length_px >= shortest]


def _longest(line: PooledLine, segments: LineSegments, target: Target) -> Stretch:
    turn = math.radians(line.angle_deg)
    direction, centre = np.array([math.cos(turn), -math.sin(turn)]), np.array(line.centre)
    runs = _runs(segments, centre, direction)
    start, end = max(runs, key=lambda run: run[1] - run[0])
    at_target = float((target.centroid - centre) @ direction)
    side = (start + end) / 2 - at_target
    behind = sum(b - a for a, b in runs if ((a + b) / 2 - at_target) * side < 0)
    near, far = sorted((start, end), key=lambda place: abs(place - at_target))
    return Stretch(centre + far * direction, centre + near * direction, line, behind)


def _runs(segments: LineSegments, centre: Floats, direction: Floats) -> list[tuple[float, float]]:
    """Intervals along a line that segments cover, with short gaps closed."""
    diagonal = diagonal_px(segments.width, segments.height)
    normal = np.array([-direction[1], direction[0]])
    offset = np.abs((segments.centres - centre) @ normal)
    skew = np.abs(segments.directions @ normal) * segments.lengths_px / 2
    members = segments.chosen(offset + skew <= POOL_OFFSET_FRACTION * diagonal)
    along = (members.centres - centre) @ direction
    half = members.lengths_px / 2
    runs: list[tuple[float, float]] = []
    for start, end in sorted(zip((along - half).tolist(), (along + half).tolist(), strict=True)):
        if runs and start - runs[-1][1] <= MAX_GAP_FRACTION * diagonal:
            runs[-1] = (runs[-1][0], max(runs[-1][1], end))
        else:
            runs.append((start, end))
    return runs
