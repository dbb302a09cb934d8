"""Long narrow things that point at the subject: a spoon's handle, chopsticks, a skewer, a knife.

A handle has two sides: segments that are nearly parallel, close together and side by side. It leads
to the subject if it reaches into the subject's body or ends at it, points at its middle and begins
well outside. One among many parallels (planks, a weave) is a pattern, and one that goes on behind
the subject passes it. A supporting element as long and narrow as a spoon is a handle, too.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import angle_difference_deg
from auditor.line_segments import LineSegments
from auditor.mask_axis import MaskAxis
from auditor.measurements.leading_lines.body import Body

Floats = NDArray[np.float64]

MAX_SEGMENTS = 200  # the longest ones; the sides of a handle are among them
SIDES_ANGLE_DEG = 9.0  # largest angle between the two sides of a tapering handle
# Distance of the sides, of the diagonal: from a skewer to a wooden spoon.
WIDTHS_FRACTION = (0.003, 0.04)
MAX_WIDTH_RATIO = 1 / 3  # width to length; a wider thing has no direction
MIN_OVERLAP = 0.5  # of the shorter side, that lies beside the longer one
MIN_LENGTH_FRACTION = 0.1  # of the diagonal: half a fork
MIN_CONTRAST = 0.02  # of full scale, on the fainter side: 5 of 255, above grain
MIN_OUTSIDE_FRACTION = 0.03  # of the diagonal: how far the far end lies outside the body
# Of the body's half width: how far from its middle a handle points. One that only touches the body
# is more likely to be there by chance.
AIM_SHARE_REACHING, AIM_SHARE_TOUCHING = 0.6, 0.4
# Of the diagonal: how far the near end of a handle that reaches in lies inside.
MIN_DEPTH_FRACTION = 0.015
MAX_PAST_SHARE = 0.25  # of its length: how far the near end may lie past the middle
MAX_GAP_FRACTION = 0.03  # of the diagonal, between the near end and the body
# A line as level or upright as this that does not reach into the body is the edge of a table or a
# wall.
STILL_ANGLE_DEG = 6.0
SAME_ANGLE_DEG, SAME_OFFSET_FRACTION = 12.0, 0.06  # between the sides and edges of one handle
PATTERN_ANGLE_DEG = 8.0  # between the lines of a pattern; no source
MAX_PATTERN_RATIO = 1.5  # weight of parallel segments elsewhere to that of the handle
ON_LINE_FRACTION = 0.02  # of the diagonal: as far beside the line a segment continues it
PASSING_SHARE = 0.25  # of its length: a line with so much behind the subject passes it
HALF_CONTRAST = 0.06  # of full scale: contrast with half weight
MIN_ELONGATION = 4.0  # of an element: a spoon has 5 to 8, a bottle 3. No source


@dataclass(frozen=True, eq=False)
class Handle:
    """A long narrow thing, in px of the reduced picture.

    Attributes
    ----------
    far, near : (2,) float arrays
        Its ends, by distance from the subject's middle.
    weight : float
        Length, reduced for faint sides.
    reaches_in : bool
        Whether the near end lies well inside the subject's body.
    """

    far: Floats
    near: Floats
    weight: float
    reaches_in: bool

    @property
    def direction(self) -> Floats:
        """Unit vector from the far end to the near one."""
        step = self.near - self.far
        return np.asarray(step / np.linalg.norm(step), dtype=np.float64)

    @property
    def length_px(self) -> float:
        """Distance between the ends."""
        return float(np.linalg.norm(self.near - self.far))

    def distance_px(self, position: Floats) -> float:
        """Distance of a position from the whole line."""
        right, down = self.direction
        x, y = position - self.near
        return abs(float(x * down - y * right))


def leading_handles(
    segments: LineSegments, body: Body, axes: Sequence[MaskAxis] = ()
) -> list[Handle]:
    """Find the handles that lead to the subject, the heaviest first.

    Parameters
    ----------
    segments : LineSegments
        Without those along the rims of dishes.
    body : Body
    axes : sequence of MaskAxis
        Of the supporting elements.
    """
    longest = segments.chosen(np.argsort(-segments.lengths_px, kind="stable")[:MAX_SEGMENTS])
    leading = [
        handle
        for handle in _handles(longest, body)
        if _leads(handle, body) and not _is_pattern_or_passes(handle, longest, body)
    ]
    frame = np.array([segments.width, segments.height], dtype=np.float64)
    long_things = [axis for axis in axes if axis.elongation >= MIN_ELONGATION]
    leading += [h for axis in long_things if _leads(h := _handle_of(axis, frame, body), body)]
    kept: list[Handle] = []
    for handle in sorted(leading, key=lambda handle: (not handle.reaches_in, -handle.weight)):
        if not any(_is_same(handle, other, body.diagonal) for other in kept):
            kept.append(handle)
    return kept


def _handles(segments: LineSegments, body: Body) -> list[Handle]:
    """All pairs of segments that are the two sides of a long narrow thing."""
    centres, directions, lengths = segments.centres, segments.directions, segments.lengths_px
    first, second = np.nonzero(np.triu(_are_sides(segments, body.diagonal), 1))
    found = []
    for i, j in zip(first.tolist(), second.tolist(), strict=True):
        sign = math.copysign(1.0, float(directions[i] @ directions[j]))
        along = directions[i] * lengths[i] + sign * directions[j] * lengths[j]
        along = along / np.linalg.norm(along)
        across = np.array([-along[1], along[0]])
        middle = float((centres[i] + centres[j]) @ across) / 2
        spans = [(float(centres[k] @ along), float(lengths[k]) / 2) for k in (i, j)]
        start, end = min(at - half for at, half in spans), max(at + half for at, half in spans)
        overlap = min(at + half for at, half in spans) - max(at - half for at, half in spans)
        width = abs(float((centres[j] - centres[i]) @ across))
        if overlap < MIN_OVERLAP * min(lengths[i], lengths[j]) or width > MAX_WIDTH_RATIO * (
            end - start
        ):
            continue
        contrast = float(min(segments.contrasts[i], segments.contrasts[j]))
        ends = [along * at + across * middle for at in (start, end)]
        found.append(_handle(ends, contrast / (contrast + HALF_CONTRAST), body))
    return found


def _handle_of(axis: MaskAxis, frame: Floats, body: Body) -> Handle:
    """An element's axis as a handle."""
    return _handle([np.array(end) * frame for end in axis.ends], 1.0, body)


def _handle(ends: Sequence[Floats], prominence: float, body: Body) -> Handle:
    near, far = sorted(ends, key=lambda end: float(np.linalg.norm(end - body.centroid)))
    reaches_in = body.gap_to(near) <= -MIN_DEPTH_FRACTION * body.diagonal
    return Handle(far, near, prominence * float(np.linalg.norm(far - near)), reaches_in)


def _are_sides(segments: LineSegments, diagonal: float) -> NDArray[np.bool_]:
    """(n, n) mask of the pairs that are nearly parallel and as far apart as a handle is wide."""
    directions = segments.directions
    parallel = np.abs(directions @ directions.T) >= math.cos(math.radians(SIDES_ANGLE_DEG))
    across = np.stack([-directions[:, 1], directions[:, 0]], axis=1)
    offsets = np.abs(across @ segments.centres.T - (across * segments.centres).sum(axis=1)[:, None])
    width = (offsets + offsets.T) / 2 / diagonal
    is_plain = segments.contrasts >= MIN_CONTRAST
    narrow = (width >= WIDTHS_FRACTION[0]) & (width <= WIDTHS_FRACTION[1])
    return np.asarray(parallel & narrow & is_plain & is_plain[:, np.newaxis])


def _leads(handle: Handle, body: Body) -> bool:
    """True if a handle begins outside the body, points at its middle and ends at it or in it."""
    direction = handle.direction
    to_middle = body.centroid - handle.near
    aim = AIM_SHARE_REACHING if handle.reaches_in else AIM_SHARE_TOUCHING
    turn = math.degrees(math.atan2(-direction[1], direction[0]))
    is_still = min(angle_difference_deg(turn, still) for still in (0, 90)) < STILL_ANGLE_DEG
    return (
        handle.distance_px(body.centroid) <= aim * body.half_width_across(direction)
        and handle.length_px >= MIN_LENGTH_FRACTION * body.diagonal
        and float(to_middle @ direction) >= -MAX_PAST_SHARE * handle.length_px
        and body.gap_to(handle.near) <= MAX_GAP_FRACTION * body.diagonal
        and body.gap_to(handle.far) >= MIN_OUTSIDE_FRACTION * body.diagonal
        and (handle.reaches_in or not is_still)
    )


def _is_pattern_or_passes(handle: Handle, segments: LineSegments, body: Body) -> bool:
    """True if a handle is one of many parallels, or goes on behind the subject."""
    direction = handle.direction
    across = np.array([-direction[1], direction[0]])
    parallel = np.abs(segments.directions @ direction) >= math.cos(math.radians(PATTERN_ANGLE_DEG))
    outside = np.array([body.gap_to(at) > 0 for at in segments.centres])
    apart = segments.centres - handle.near
    beside = np.abs(apart @ across) / body.diagonal
    weights = segments.lengths_px * segments.contrasts / (segments.contrasts + HALF_CONTRAST)
    elsewhere = parallel & outside & (beside > SAME_OFFSET_FRACTION)
    behind = (
        parallel
        & outside
        & (beside <= ON_LINE_FRACTION)
        & (apart @ direction > (body.centroid - handle.near) @ direction)
    )
    return bool(
        weights[elsewhere].sum() > MAX_PATTERN_RATIO * handle.weight
        or segments.lengths_px[behind].sum() > PASSING_SHARE * handle.length_px
    )


def _is_same(handle: Handle, other: Handle, diagonal: float) -> bool:
    """True if two handles from one side are close and nearly parallel."""
    middle = (handle.far + handle.near) / 2
    return (
        float(handle.direction @ other.direction) > math.cos(math.radians(SAME_ANGLE_DEG))
        and other.distance_px(middle) < SAME_OFFSET_FRACTION * diagonal
    )
