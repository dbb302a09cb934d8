"""Lines: segments that lie on one line, pooled."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import diagonal_px, fold_angle_deg
from auditor.line_segments.segments import Floats, LineSegments

POOL_OFFSET_FRACTION = 0.012  # of the diagonal, across the line: the two edges of a chopstick
POOL_ANGLE_DEG = 5.0  # a segment of `MIN_LENGTH_PX` is uncertain by about 2 degrees
MAX_SINE = math.sin(math.radians(POOL_ANGLE_DEG))
HALF_CONTRAST = 0.06  # of full scale: a step with half weight; a fold in a cloth has about 0.1
MAX_SEGMENTS = 400  # the longest ones; the rest are crumbs


@dataclass(frozen=True, slots=True)
class PooledLine:
    """Segments on one line, in pixels of the reduced picture.

    Attributes
    ----------
    angle_deg : float
        In (-90, 90], positive if rising to the right.
    centre : tuple of float
        (x, y) of the segments' mean position, weighted with length and contrast.
    covered_px : float
        Length that the segments cover together.
    contrast : float
        Mean height of the step across the edge, in [0, 1] of the sRGB scale.
    """

    angle_deg: float
    centre: tuple[float, float]
    covered_px: float
    contrast: float

    @property
    def prominence(self) -> float:
        """Weight of its contrast, in [0, 1]."""
        return self.contrast / (self.contrast + HALF_CONTRAST)


def pool_segments(segments: LineSegments, max_lines: int) -> list[PooledLine]:
    """Pool the segments on each line.

    Parameters
    ----------
    segments : LineSegments
    max_lines : int

    Returns
    -------
    list of PooledLine
        At most `max_lines`, strongest first; each segment is used once.
    """
    longest = np.argsort(-segments.lengths_px, kind="stable")[:MAX_SEGMENTS]
    rods = _Rods.of(segments.chosen(longest))
    strength = rods.weight.copy()  # 0 once a segment is used
    lines: list[PooledLine] = []
    while len(lines) < max_lines and strength.any():
        members = _members(rods, int(strength.argmax()), strength > 0)
        strength[members] = 0
        lines.append(rods.pooled(members))
    return lines


def _members(rods: _Rods, seed: int, free: NDArray[np.bool_]) -> NDArray[np.intp]:
    """Free segments on the line of a seed segment, which always stays a member."""
    members = np.array([seed])
    for _ in range(2):  # the second time with the line through all members of the first
        near = rods.on_line(rods.fitted(members)) & free
        near[seed] = True
        found = np.flatnonzero(near)
        if np.array_equal(found, members):
            break
        members = found
    return members


@dataclass(frozen=True, slots=True)
class _Line:
    """A line through a position; its direction is a unit vector to the right, y downwards."""

    x: float
    y: float
    right: float
    down: float


@dataclass(frozen=True, slots=True)
class _Rods:
    """Segments as plain arrays, since pooling reads each of them dozens of times."""

    x: Floats
    y: Floats
    right: Floats
    down: Floats
    length: Floats
    contrast: Floats
    weight: Floats
    tolerance_px: float

    @staticmethod
    def of(segments: LineSegments) -> _Rods:
        x, y, right, down = np.vstack([segments.centres.T, segments.directions.T])
        return _Rods(
            x,
            y,
            right,
            down,
            segments.lengths_px,
            segments.contrasts,
            segments.lengths_px * segments.contrasts,
            POOL_OFFSET_FRACTION * diagonal_px(segments.width, segments.height),
        )

    def on_line(self, line: _Line) -> NDArray[np.bool_]:
        """Mask of the segments that lie within a narrow band around a line, parallel to it."""
        offset = np.abs((self.y - line.y) * line.right - (self.x - line.x) * line.down)
        sine = np.abs(self.down * line.right - self.right * line.down)
        near: NDArray[np.bool_] = offset + sine * self.length / 2 <= self.tolerance_px
        parallel: NDArray[np.bool_] = sine <= MAX_SINE
        return near & parallel

    def fitted(self, members: NDArray[np.intp]) -> _Line:
        """Total least squares line through whole segments, weighted with length and contrast."""
        if members.size == 1:
            return _Line(*(float(v[members[0]]) for v in (self.x, self.y, self.right, self.down)))
        share = self.weight[members] / self.weight[members].sum()
        x, y = float(share @ self.x[members]), float(share @ self.y[members])
        apart_x, apart_y = self.x[members] - x, self.y[members] - y
        # A segment is a thin rod: its own second moment adds to that of its centre.
        own = self.length[members] ** 2 / 12
        right, down = self.right[members], self.down[members]
        xx_less_yy = share @ (apart_x**2 - apart_y**2 + own * (right**2 - down**2))
        xy = share @ (apart_x * apart_y + own * right * down)
        turn = math.atan2(2 * float(xy), float(xx_less_yy)) / 2  # in [-90, 90] degrees
        return _Line(x, y, math.cos(turn), math.sin(turn))

    def pooled(self, members: NDArray[np.intp]) -> PooledLine:
        """The pooled line of some members."""
        line = self.fitted(members)
        length = self.length[members]
        apart_x, apart_y = self.x[members] - line.x, self.y[members] - line.y
        along = apart_x * line.right + apart_y * line.down
        return PooledLine(
            fold_angle_deg(math.degrees(math.atan2(-line.down, line.right))),
            (line.x, line.y),
            _union_length(along - length / 2, along + length / 2),
            float(length @ self.contrast[members]) / float(length.sum()),
        )


def _union_length(low: Floats, high: Floats) -> float:
    """Total length that intervals cover together."""
    reached, covered = -math.inf, 0.0
    for start, end in sorted(zip(low.tolist(), high.tolist(), strict=True)):
        covered += max(0.0, end - max(start, reached))
        reached = max(reached, end)
    return covered
