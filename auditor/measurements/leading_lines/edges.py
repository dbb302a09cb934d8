"""Straight edges that lead to the subject: the handle of a spoon, a knife, the end of a table.

A line leads to the subject where it begins outside, points into it and ends at it; one that goes on
behind it only passes, one that is level or upright belongs to the ground. Near parallels (the two
sides of a handle) are one thing. In any picture with many lines some lead to the subject by chance,
so those that do must hold a good part of the lines' weight, and be more than chance would bring.

How good the rules are was told by exchange: the lines of 154 finished food photographs were tried
with the subjects of others. What leads to a subject that was never there does so by chance.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse, Point, Region, diagonal_px, distance_fraction
from auditor.line_segments import LineSegments, is_slanted, without_rims
from auditor.measurements.leading_lines.leading import LeadingLines
from auditor.measurements.leading_lines.stretches import Stretch, Target, stretches_outside

Floats = NDArray[np.float64]

MIN_LEADING_FRACTION = 0.12  # of the diagonal, for one that leads; stubs point anywhere
MIN_CONTRAST = 0.1  # of full scale, for one that leads: about that of a fold in a cloth
AIM_SHARE = 0.5  # of the subject's half width: a line past this points beside it
MIN_APPROACH = 0.8  # of its length by which a line comes nearer to the subject
MAX_REST_FRACTION = 0.05  # of the diagonal, between line and subject: beyond it the eye lets go
PASSING_SHARE = 0.25  # of its length found again behind the subject: the line passes
SAME_ANGLE_DEG, SAME_OFFSET_FRACTION = 12.0, 0.06  # two sides of one handle, knife or board
MIN_WEIGHT_SHARE = 0.3  # of all lines' weight: fewer are lost among those that lead elsewhere
# That a line which points at a subject by chance also keeps the other rules; 0.085 by exchange.
CHANCE_OF_THE_REST = 0.1
MAX_CHANCE = 0.2  # that so many lines lead to the subject by chance
# Where two like lines cross at this angle their meeting point counts as much as the subject itself:
# an error of 1 degree in either line shifts it by an eighth of its distance.
DOUBTFUL_CROSSING_DEG = 10.0
MOST_CONFIDENCE = 0.65  # of 8 found in 167 photographs 5 led by eye; exchanged, 1 % have an answer


def leading_edges(
    segments: LineSegments, subject: Region, rims: Sequence[Ellipse]
) -> tuple[LeadingLines, float] | None:
    """Find the lines that lead to the subject, with their confidence; None as a rule."""
    target = Target.of(subject, segments)
    diagonal = diagonal_px(segments.width, segments.height)
    found = stretches_outside(without_rims(segments, rims), target)
    leading = [line for line in found if _leads(line, target, diagonal)]
    if not leading:
        return None
    things = _things(leading, found, SAME_OFFSET_FRACTION * diagonal)
    leading = [line for line in things if line in leading]
    share = sum(line.weight for line in leading) / sum(line.weight for line in things)
    chance = _chance(len(leading), [_chance_of(line, target) for line in things])
    if share < MIN_WEIGHT_SHARE or chance > MAX_CHANCE:
        return None
    confidence = MOST_CONFIDENCE * (1 - chance) * min(1.0, 2 * share)
    return _told(leading, target, share, segments), confidence


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


def _told(
    leading: Sequence[Stretch], target: Target, share: float, segments: LineSegments
) -> LeadingLines:
    frame = np.array([segments.width, segments.height], dtype=np.float64)
    meets, centroid = _point(_meeting(leading, target.centroid), frame), target.centroid
    return LeadingLines(
        "lines",
        meets,
        distance_fraction(meets, _point(centroid, frame), segments.width, segments.height),
        share,
        tuple((_point(line.far, frame), _point(line.near, frame)) for line in leading),
    )


def _point(position: Floats, frame: Floats) -> Point:
    x, y = position / frame
    return Point(float(x), float(y))


def _things(leading: list[Stretch], found: list[Stretch], max_offset_px: float) -> list[Stretch]:
    """Of near parallels keep the heaviest, one that leads before one that does not."""
    kept: list[Stretch] = []
    for line in sorted(found, key=lambda line: (line not in leading, -line.weight)):
        if not any(_is_beside(line, other, max_offset_px) for other in kept):
            kept.append(line)
    return kept


def _is_beside(line: Stretch, other: Stretch, max_offset_px: float) -> bool:
    """Whether two lines from the same side are near parallels."""
    least_cosine = math.cos(math.radians(SAME_ANGLE_DEG))
    return (
        float(line.direction @ other.direction) > least_cosine
        and other.distance_px(line.middle) < max_offset_px
    )


def _chance_of(line: Stretch, target: Target) -> float:
    """Probability that a line in this place, of any direction, leads to the subject."""
    away = float(np.linalg.norm(line.middle - target.centroid))
    return CHANCE_OF_THE_REST * 2 * math.atan2(_aim_px(line, target), away) / math.pi


def _chance(n_leading: int, chances: Sequence[float]) -> float:
    """Probability that at least so many independent lines lead to the subject."""
    counts = np.array([1.0])
    for chance in chances:
        counts = np.convolve(counts, [1 - chance, chance])
    return float(counts[n_leading:].sum())


def _meeting(lines: Sequence[Stretch], middle: Floats) -> Floats:
    """The point nearest to all lines, weighted; where they are near parallels, to `middle` too."""
    total_weight = sum(line.weight for line in lines)
    doubt = total_weight * math.sin(math.radians(DOUBTFUL_CROSSING_DEG) / 2) ** 2
    matrix, total = doubt * np.eye(2), doubt * middle
    for line in lines:
        across = line.weight * (np.eye(2) - np.outer(line.direction, line.direction))
        matrix += across
        total += across @ line.near
    return np.asarray(np.linalg.solve(matrix, total), dtype=np.float64)
