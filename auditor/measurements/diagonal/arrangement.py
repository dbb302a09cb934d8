"""The line along which subject and supporting elements are arranged.

A total least squares line is fitted to the centroids, each weighted by the root of its area (a
thing twice as wide has twice the weight). Up to two things besides the subject may lie off the
line: every choice of them is tried, and the best line counts.

Among a few things placed at random some are in line by chance, so each line has a score, the
logarithm of a likelihood ratio: how much more likely the places are if the things were put on a
line than if they were put anywhere. It grows with the number of things on the line and with its
length, and it falls with their distances from it, with unequal steps and with the weight of what
was left out. `tests/benchmarks/check_lines.py arrangements` measures it on drawn arrangements and
on things placed at random. Two things lie on a line in any case: they count if they stand opposite
each other across the middle of the frame.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Point, Region, angle_difference_deg, diagonal_px, fold_angle_deg

Floats = NDArray[np.float64]

MIN_AREA_FRACTION = 0.0015  # of the frame; smaller things (crumbs, petals) have no visual weight
MIN_N_THINGS = 3  # any two lie on a line
MAX_N_THINGS = 8  # the largest ones; the line of an arrangement does not depend on the rest
MAX_N_STRAYS = 2  # things off the line; with more it is no line to a viewer. No source

# Root of the mean squared distance of things in line from their line, of the diagonal: the error of
# a centroid (0.015) and of placing things by hand.
OFF_LINE_FRACTION = 0.02
# Gain of each thing on the line beyond the two that define it: the logarithm of the density on the
# line over that in the frame, which is about 0.37 of the diagonal wide across a line.
ON_LINE_GAIN = 2.0
# Chosen with the benchmark: power of the line's length and of its evenness, cost of leaving out
# everything.
LENGTH_POWER = 5.0
EVENNESS_POWER = 1.5
STRAY_COST = 4.0
MIN_EVENNESS = 0.1  # shortest step over the mean one; a smaller ratio counts as this one
RIVAL_ANGLE_DEG = 15.0  # largest angle between two fits of one line; no source
MIN_LEAD = 0.5  # of the score over a line in another direction: less, and neither dominates
# Score at even odds between an arrangement and chance. Chosen so that at most 12 % of things placed
# at random have a line, for each number of things.
EVEN_SCORE = -3.0
FULL_LENGTH_FRACTION = 0.6  # of the frame's diagonal, from which the strength is full

PAIR_LENGTH_FRACTION = 0.4  # of the frame's diagonal; least distance of two opposed things
# Of the diagonal, between the frame's centre and the line of a pair. With these limits 10 % of the
# pairs placed at random have a line.
PAIR_OFF_CENTRE_FRACTION = 0.06
PAIR_BALANCE = (0.2, 0.8)  # of its length: where the line of a pair passes the frame's centre
PAIR_AREA_RATIO = 0.12  # smaller to larger, below which the smaller one is no counterweight
PAIR_STRENGTH = 0.8  # greatest strength of a pair; three things in line have 1
# Strength of two things that lean one way without standing opposite each other: no line is found,
# and a viewer who looks for one may see it.
LEANING_STRENGTH = 0.35


@dataclass(frozen=True, slots=True)
class ArrangedLine:
    """A line fitted to centroids.

    Attributes
    ----------
    angle_deg : float
        In (-90, 90].
    ends : tuple of Point
        The outermost centroids on the line, projected onto it, the left one first.
    strength : float
        In [0, 1].
    spread_fraction : float
        Distance between the ends, as a fraction of the frame's diagonal.
    standard_error_deg : float
        Standard error of the angle, from the residuals.
    members : tuple of int
        The things on the line: 0 is the subject, n the n-th element.
    """

    angle_deg: float
    ends: tuple[Point, Point]
    strength: float
    spread_fraction: float
    standard_error_deg: float
    members: tuple[int, ...]


def arranged_line(
    subject: Region | None, elements: Sequence[Region], width: float, height: float
) -> ArrangedLine | None:
    """Fit the line of an arrangement.

    Parameters
    ----------
    subject : Region or None
        Always on the line if there is one; without it the largest element stands for it.
    elements : sequence of Region
    width, height : float
        Of the frame; only their ratio matters.

    Returns
    -------
    ArrangedLine or None
        None with fewer than two things or if they are not aligned at all. A line of low strength
        is only a chance.
    """
    numbered = [(number, e) for number, e in enumerate(elements, start=1)]
    numbered.sort(key=lambda pair: -pair[1].area_fraction)
    if subject is not None:
        numbered.insert(0, (0, subject))
    numbered = [pair for pair in numbered if pair[1].area_fraction >= MIN_AREA_FRACTION]
    numbered = numbered[:MAX_N_THINGS]
    if len(numbered) < 2 or (subject is not None and numbered[0][0] != 0):
        return None
    numbers, things = zip(*numbered, strict=True)
    frame = np.array([width, height]) / diagonal_px(width, height)
    places = np.array([t.centroid for t in things]) * frame
    weights = np.sqrt([t.area_fraction for t in things])
    if len(things) < MIN_N_THINGS:
        line = _fit(places, weights, tuple(range(len(things))))
        if line is None:
            return None
        return _arranged(line, _strength_of_pair(line, things, frame / 2), frame, numbers)
    lines = list(_lines(places, weights))
    best = max((line for line in lines if 0 in line.members), key=lambda line: line.score)
    rival = max((line.score for line in lines if _is_rival(line, best)), default=-math.inf)
    if best.score - rival < MIN_LEAD:
        return None
    odds = 1 / (1 + math.exp(EVEN_SCORE - best.score))
    strength = odds * min(1.0, best.length / FULL_LENGTH_FRACTION)
    return _arranged(best, strength, frame, numbers)


@dataclass(frozen=True, slots=True, eq=False)
class _Line:
    """A line through some of the things; lengths are fractions of the frame's diagonal."""

    members: tuple[int, ...]
    centre: Floats
    direction: Floats
    along: Floats
    off: Floats
    axis_ratio: float
    score: float

    @property
    def length(self) -> float:
        return float(np.ptp(self.along))

    @property
    def angle_deg(self) -> float:
        right, down = self.direction
        return fold_angle_deg(math.degrees(math.atan2(-down, right)))


def _lines(places: Floats, weights: Floats) -> Iterator[_Line]:
    """Lines through all things and through all but one or two."""
    n_things = len(places)
    for n_strays in range(min(MAX_N_STRAYS, n_things - MIN_N_THINGS) + 1):
        for members in combinations(range(n_things), n_things - n_strays):
            line = _fit(places, weights, members)
            if line is not None:
                yield line


def _fit(places: Floats, weights: Floats, members: tuple[int, ...]) -> _Line | None:
    """Fit a line to the members; None if they lie on one place."""
    own = list(members)
    share = weights[own] / weights[own].sum()
    centre = share @ places[own]
    apart = places[own] - centre
    (small, large), axes = np.linalg.eigh((share[:, np.newaxis] * apart).T @ apart)
    if large <= 0:
        return None
    direction = axes[:, 1] if axes[0, 1] >= 0 else -axes[:, 1]
    along, off = apart @ direction, apart @ np.array([-direction[1], direction[0]])
    left_out = 1 - float(weights[own].sum() / weights.sum())
    score = _score(along, off, left_out)
    axis_ratio = math.sqrt(max(float(small), 0.0) / float(large))
    return _Line(members, centre, direction, along, off, axis_ratio, score)


def _score(along: Floats, off: Floats, left_out: float) -> float:
    """Logarithm of the likelihood ratio of a line and of chance, up to a constant.

    `left_out` is the share of the weight that is not on the line.
    """
    steps = np.diff(np.sort(along))
    evenness = max(float(steps.min() / steps.mean()), MIN_EVENNESS)
    return (
        (len(along) - 2) * ON_LINE_GAIN
        - float((off**2).sum()) / (2 * OFF_LINE_FRACTION**2)
        + LENGTH_POWER * math.log(float(np.ptp(along)))
        + EVENNESS_POWER * math.log(evenness)
        - STRAY_COST * left_out
    )


def _is_rival(line: _Line, best: _Line) -> bool:
    return angle_difference_deg(line.angle_deg, best.angle_deg) > RIVAL_ANGLE_DEG


def _strength_of_pair(line: _Line, things: Sequence[Region], middle: Floats) -> float:
    """Strength of the line of two things; any two lie on one."""
    small, large = sorted(thing.area_fraction for thing in things)
    if small < PAIR_AREA_RATIO * large:
        return 0.0
    right, down = middle - (line.centre + line.along.min() * line.direction)
    aside = abs(float(right * line.direction[1] - down * line.direction[0]))
    passed = float(right * line.direction[0] + down * line.direction[1]) / line.length
    is_opposed = (
        line.length >= PAIR_LENGTH_FRACTION
        and aside <= PAIR_OFF_CENTRE_FRACTION
        and PAIR_BALANCE[0] <= passed <= PAIR_BALANCE[1]
    )
    reach = min(1.0, line.length / FULL_LENGTH_FRACTION)
    return PAIR_STRENGTH * reach if is_opposed else LEANING_STRENGTH


def _arranged(line: _Line, strength: float, frame: Floats, numbers: Sequence[int]) -> ArrangedLine:
    first, last = (
        Point(*((line.centre + reach * line.direction) / frame).tolist())
        for reach in (line.along.min(), line.along.max())
    )
    return ArrangedLine(
        line.angle_deg,
        (first, last),
        strength,
        line.length,
        math.degrees(line.axis_ratio / math.sqrt(len(line.members))),
        tuple(numbers[member] for member in line.members),
    )


def probability_of_line(line: ArrangedLine, subject: float, elements: Sequence[float]) -> float:
    """Probability that so many of a line's things are there that it is one.

    Parameters
    ----------
    line : ArrangedLine
    subject : float
        Probability that the subject is there.
    elements : sequence of float
        The same for each element that `arranged_line` was given.

    Returns
    -------
    float
        That the subject, if it is on the line, and three things or both of a pair are there.
    """
    counts = np.array([1.0])  # probability of each number of elements on the line
    for member in line.members:
        if member > 0:
            there = elements[member - 1]
            counts = np.convolve(counts, [1 - there, there])
    has_subject = 0 in line.members
    least = min(len(line.members), MIN_N_THINGS) - has_subject
    return (subject if has_subject else 1.0) * float(counts[least:].sum())
