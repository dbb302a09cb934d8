"""Lines: segments that lie on one line, gathered."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import diagonal_px, fold_angle_deg
from auditor.line_segments.segments import Floats, LineSegments

POOL_OFFSET_FRACTION = 0.012  # of the diagonal, across the line: the two edges of a chopstick
POOL_ANGLE_DEG = 5.0  # a segment of `MIN_LENGTH_PX` is uncertain by about 2 degrees
MAX_SEGMENTS = 400  # the longest ones; the rest is crumbs


@dataclass(frozen=True, slots=True)
class PooledLine:
    """Segments on one line, in pixels of the reduced picture.

    Attributes
    ----------
    angle_deg : float
        In (-90, 90], rising to the right is positive.
    centre : tuple of float
        (x, y) of the middle of what is covered, weighted with length and contrast.
    covered_px : float
        Length that the segments cover together.
    contrast : float
        Mean height of the step across the edge, in [0, 1] of the sRGB scale.
    """

    angle_deg: float
    centre: tuple[float, float]
    covered_px: float
    contrast: float


def pool_segments(segments: LineSegments, max_lines: int) -> list[PooledLine]:
    """Gather the segments on each line, strongest first, each segment used once."""
    longest = np.argsort(-segments.lengths_px, kind="stable")[:MAX_SEGMENTS]
    segments = segments.chosen(longest)
    free = np.ones(len(segments), dtype=bool)
    lines: list[PooledLine] = []
    while free.any() and len(lines) < max_lines:
        seed = int(np.argmax(np.where(free, segments.lengths_px * segments.contrasts, -1)))
        centre, direction = segments.centres[seed], segments.directions[seed]
        members = free
        for _ in range(2):  # the second time from the line through all of the first
            members = free & _on_line(segments, centre, direction)
            members[seed] = True
            centre, direction = _fitted(segments.chosen(members))
        free &= ~members
        lines.append(_line(segments.chosen(members), centre, direction))
    return lines


def _on_line(segments: LineSegments, centre: Floats, direction: Floats) -> NDArray[np.bool_]:
    """Which segments lie within a narrow band around a line, along it."""
    tolerance = POOL_OFFSET_FRACTION * diagonal_px(segments.width, segments.height)
    normal = np.array([-direction[1], direction[0]])
    offset = np.abs((segments.centres - centre) @ normal)
    sine = np.abs(segments.directions @ normal)
    near: NDArray[np.bool_] = offset + sine * segments.lengths_px / 2 <= tolerance
    parallel: NDArray[np.bool_] = sine <= math.sin(math.radians(POOL_ANGLE_DEG))
    return near & parallel


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


def _line(members: LineSegments, centre: Floats, direction: Floats) -> PooledLine:
    along = (members.centres - centre) @ direction
    covered = _union_length(along - members.lengths_px / 2, along + members.lengths_px / 2)
    contrast = float(members.lengths_px @ members.contrasts) / float(members.lengths_px.sum())
    angle = fold_angle_deg(math.degrees(math.atan2(-direction[1], direction[0])))
    return PooledLine(angle, (float(centre[0]), float(centre[1])), covered, contrast)


def _union_length(low: Floats, high: Floats) -> float:
    """Total length that intervals cover together."""
    order = np.argsort(low, kind="stable")
    reached, covered = -math.inf, 0.0
    for start, end in zip(low[order], high[order], strict=True):
        covered += max(0.0, float(end) - max(float(start), reached))
        reached = max(reached, float(end))
    return covered
