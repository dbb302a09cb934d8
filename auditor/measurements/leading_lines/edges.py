"""Straight edges that lead to the subject: the handle of a spoon, a knife, the end of a table.

A line leads to the subject if it begins outside, points into it and ends at it. A line that goes
on behind the subject only passes it; a level or upright one belongs to the background. Lines that
are nearly parallel and close together (the two sides of a handle) count as one. Among many lines
some lead to the subject by chance, so the leading ones must have a good share of the total weight
and be more than expected by chance.

The rules were checked by exchange: the lines of 154 finished food photographs were combined with
the subjects of other photographs, where every leading line is a coincidence.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse, Point, Region, diagonal_px, distance_fraction
from auditor.line_segments import LineSegments, is_slanted, without_rims
from auditor.measurements.leading_lines.handles import Handle
from auditor.measurements.leading_lines.leading import LeadingLines
from auditor.measurements.leading_lines.stretches import Stretch, Target, stretches_outside

Floats = NDArray[np.float64]

MIN_LEADING_FRACTION = 0.12  # of the diagonal: shorter lines point anywhere
MIN_CONTRAST = (
    0.05  # of full scale: a step of 20 of 255, whose measured height is a quarter too low
)
AIM_SHARE = 0.5  # of the subject's half width: a line further off points beside it
MIN_APPROACH = 0.8  # of its length by which a line comes nearer to the subject
MAX_REST_FRACTION = 0.05  # of the diagonal, between line and subject: a longer gap breaks the lead
PASSING_SHARE = 0.25  # of its length: a line with so much behind the subject passes it
SAME_ANGLE_DEG, SAME_OFFSET_FRACTION = 12.0, 0.06  # two sides of one handle, knife or board
# Of all lines' weight. A single edge says less than a handle: on 70 photographs of dishes two that
# had 0.35 and 0.41 were a cable and a pan's handle.
MIN_WEIGHT_SHARE = 0.5
# Probability that a line which points at a subject by chance also passes the other rules; 0.085 by
# exchange.
CHANCE_OF_OTHER_RULES = 0.1
MAX_CHANCE = 0.2  # probability that so many lines lead to the subject by chance
# Two equal lines that cross at this angle weigh as much as the subject itself in the meeting point:
# an error of 1 degree in either line shifts it by an eighth of its distance.
DOUBTFUL_CROSSING_DEG = 10.0
MAX_CONFIDENCE = 0.65  # 5 of 8 found in 167 photographs lead by eye; by exchange 1 % have a result


def leading_edges(
    segments: LineSegments, subject: Region, rims: Sequence[Ellipse]
) -> tuple[LeadingLines, float] | None:
    """Find the lines that lead to the subject.

    Parameters
    ----------
    segments : LineSegments
    subject : Region
    rims : sequence of Ellipse
        Segments along these are ignored.

    Returns
    -------
    tuple of LeadingLines and float, or None
        The lines and their confidence; None for most pictures.
    """
    target = Target.of(subject, segments)
    diagonal = diagonal_px(segments.width, segments.height)
    found = stretches_outside(without_rims(segments, rims), target)
    leading = [line for line in found if _leads(line, target, diagonal)]
    if not leading:
        return None
    separate = _merge_parallels(leading, found, SAME_OFFSET_FRACTION * diagonal)
    leading = [line for line in separate if line in leading]
    share = sum(line.weight for line in leading) / sum(line.weight for line in separate)
    chance = _chance_of_count(len(leading), [_chance_of_line(line, target) for line in separate])
    if share < MIN_WEIGHT_SHARE or chance > MAX_CHANCE:
        return None
    confidence = MAX_CONFIDENCE * (1 - chance)
    return leading_lines(leading, target.centroid, share, segments), confidence


def _leads(line: Stretch, target: Target, diagonal: float) -> bool:
    approach = np.linalg.norm(line.far - target.centroid) - np.linalg.norm(
        line.near - target.centroid
    )
    return (
        is_slanted(line.line.angle_deg)
        and line.line.contrast >= MIN_CONTRAST
        and line.length_px >= MIN_LEADING_FRACTION * diagonal
        and line.distance_px(target.centroid) <= _aim_px(line, target)
        and bool(approach >= MIN_APPROACH * line.length_px)
        and target.gap_to(line.near) <= MAX_REST_FRACTION * diagonal
        and line.behind_px <= PASSING_SHARE * line.length_px
    )


def _aim_px(line: Stretch, target: Target) -> float:
    return AIM_SHARE * target.half_width_across(line.direction)


def leading_lines(
    lines: Sequence[Stretch | Handle], middle: Floats, strength: float, segments: LineSegments
) -> LeadingLines:
    """The value of straight lines that lead to a subject whose middle, (x, y) in px, is given."""
    frame = np.array([segments.width, segments.height], dtype=np.float64)
    meets = _point(_meeting_point(lines, middle), frame)
    return LeadingLines(
        "lines",
        meets,
        distance_fraction(meets, _point(middle, frame), segments.width, segments.height),
        strength,
        tuple((_point(line.far, frame), _point(line.near, frame)) for line in lines),
    )


def weight_elsewhere(segments: LineSegments, target: Target, handles: Sequence[Handle]) -> float:
    """Weight of all lines outside the subject except those along some handles."""
    offset_px = SAME_OFFSET_FRACTION * diagonal_px(segments.width, segments.height)
    separate = _merge_parallels([], stretches_outside(segments, target), offset_px)
    return sum(
        line.weight
        for line in separate
        if not any(_is_along(line, handle, offset_px) for handle in handles)
    )


def _is_along(line: Stretch, handle: Handle, max_offset_px: float) -> bool:
    cosine = abs(float(line.direction @ handle.direction))
    return (
        cosine > math.cos(math.radians(SAME_ANGLE_DEG))
        and handle.distance_px(line.middle) < max_offset_px
    )


def _point(position: Floats, frame: Floats) -> Point:
    x, y = position / frame
    return Point(float(x), float(y))


def _merge_parallels(
    leading: list[Stretch], found: list[Stretch], max_offset_px: float
) -> list[Stretch]:
    """Keep one of each group of close parallels: a leading one first, then the heaviest."""
    kept: list[Stretch] = []
    for line in sorted(found, key=lambda line: (line not in leading, -line.weight)):
        if not any(_is_beside(line, other, max_offset_px) for other in kept):
            kept.append(line)
    return kept


def _is_beside(line: Stretch, other: Stretch, max_offset_px: float) -> bool:
    """True if two lines from the same side are close and nearly parallel."""
    least_cosine = math.cos(math.radians(SAME_ANGLE_DEG))
    return (
        float(line.direction @ other.direction) > least_cosine
        and other.distance_px(line.middle) < max_offset_px
    )


def _chance_of_line(line: Stretch, target: Target) -> float:
    """Probability that a line at this position, of random direction, leads to the subject."""
    away = float(np.linalg.norm(line.middle - target.centroid))
    return CHANCE_OF_OTHER_RULES * 2 * math.atan2(_aim_px(line, target), away) / math.pi


def _chance_of_count(n_leading: int, chances: Sequence[float]) -> float:
    """Probability that at least `n_leading` of independent lines lead to the subject."""
    counts = np.array([1.0])
    for chance in chances:
        counts = np.convolve(counts, [1 - chance, chance])
    return float(counts[n_leading:].sum())


def _meeting_point(lines: Sequence[Stretch | Handle], middle: Floats) -> Floats:
    """The point nearest to all lines, weighted; close to `middle` if they are nearly parallel."""
    total_weight = sum(line.weight for line in lines)
    doubt = total_weight * math.sin(math.radians(DOUBTFUL_CROSSING_DEG) / 2) ** 2
    matrix, total = doubt * np.eye(2), doubt * middle
    for line in lines:
        across = line.weight * (np.eye(2) - np.outer(line.direction, line.direction))
        matrix += across
        total += across @ line.near
    return np.asarray(np.linalg.solve(matrix, total), dtype=np.float64)
