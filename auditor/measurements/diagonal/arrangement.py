"""The line along which subject and supporting elements are arranged.

A total least squares line is fitted to the centroids, each weighted by the root of its area (a
thing twice as wide has twice the weight). The quality of the alignment is its improbability for the
same number of things placed at random: for n points of a round Gaussian cloud, the ratio U of the
geometric to the arithmetic mean of the two eigenvalues of their scatter is below u with probability
u ** (n - 2) (Mauchly 1940, test of sphericity in two dimensions).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from auditor.geometry import Point, Region, diagonal_px, line_angle_deg

MIN_AREA_FRACTION = 0.0015  # of the frame; smaller things (crumbs, petals) have no visual weight
# Probability that things placed at random align as well; three things then have an axis ratio of
# about 0.1.
MAX_RANDOM_PROBABILITY = 0.2
MAX_AXIS_RATIO = 0.25  # of the cloud of centroids; a rounder cloud is no line, however many things
FULL_SPREAD_FRACTION = 0.6  # of the frame's diagonal, from which the strength is full
MIN_N_THINGS = 3  # any two lie on a line
PAIR_SPREAD_FRACTION = 0.4  # of the frame's diagonal; least distance of two opposed things
PAIR_AREA_RATIO = 0.12  # smaller to larger, below which the smaller one is no counterweight
PAIR_STRENGTH = 0.8  # greatest strength of a pair; three things in line have 1


@dataclass(frozen=True, slots=True)
class ArrangedLine:
    """A line fitted to centroids.

    Attributes
    ----------
    angle_deg : float
        In (-90, 90].
    ends : tuple of Point
        The outermost centroids, projected onto the line, the left one first.
    strength : float
        In [0, 1].
    spread_fraction : float
        Distance between the ends, as a fraction of the frame's diagonal.
    standard_error_deg : float
        Standard error of the angle, from the residuals.
    """

    angle_deg: float
    ends: tuple[Point, Point]
    strength: float
    spread_fraction: float
    standard_error_deg: float


def arranged_line(
    subject: Region | None, elements: Sequence[Region], width: float, height: float
) -> ArrangedLine | None:
    """Fit the line of an arrangement.

    Parameters
    ----------
    subject : Region or None
    elements : sequence of Region
    width, height : float
        Of the frame; only their ratio matters.

    Returns
    -------
    ArrangedLine or None
        None without a subject, with too few things, or if they are not aligned.
    """
    things = [
        thing
        for thing in ([] if subject is None else [subject]) + list(elements)
        if thing.area_fraction >= MIN_AREA_FRACTION
    ]
    if subject is None or len(things) < 2:
        return None
    points = np.array([[t.centroid.x * width, t.centroid.y * height] for t in things])
    weights = np.sqrt([t.area_fraction for t in things])
    share = weights / weights.sum()
    centre = share @ points
    apart = points - centre
    (small, large), axes = np.linalg.eigh((share[:, np.newaxis] * apart).T @ apart)
    direction = axes[:, -1]
    if direction[0] < 0:
        direction = -direction
    along = apart @ direction
    spread = float(along.max() - along.min()) / diagonal_px(width, height)
    strength = _strength(things, max(float(small), 0.0), float(large), spread)
    if strength <= 0:
        return None
    first, last = (
        Point(float(x) / width, float(y) / height)
        for x, y in (centre + a * direction for a in (along.min(), along.max()))
    )
    return ArrangedLine(
        line_angle_deg(first, last, width, height),
        (first, last),
        strength,
        spread,
        math.degrees(math.sqrt(max(float(small), 0.0) / float(large) / len(things))),
    )


def _strength(things: Sequence[Region], small: float, large: float, spread: float) -> float:
    """Strength in [0, 1], from the eigenvalues of the scatter and the spread of the centroids."""
    if large <= 0:
        return 0.0
    reach = min(1.0, spread / FULL_SPREAD_FRACTION)
    if len(things) < MIN_N_THINGS:
        areas = sorted(t.area_fraction for t in things)
        balanced = areas[0] >= PAIR_AREA_RATIO * areas[-1]
        return PAIR_STRENGTH * reach if balanced and spread >= PAIR_SPREAD_FRACTION else 0.0
    axis_ratio = math.sqrt(small / large)
    random_probability = (2 * axis_ratio / (1 + axis_ratio**2)) ** (len(things) - 2)
    if random_probability > MAX_RANDOM_PROBABILITY or axis_ratio > MAX_AXIS_RATIO:
        return 0.0
    return (1 - random_probability) * reach
