"""The tilt of lines that should be level or upright.

Table edges, backdrop lines and the sides of glasses, bottles and legs vote for a tilt, weighted by
length and contrast. If the camera looks up or down, upright lines converge, more so the farther
they stand from the middle. This convergence is fitted together with the tilt, so that a glass on
the left and its twin on the right cancel. The mode of the votes is used because lines that are
askew on purpose (a cloth, a knife) must not bias it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse, Tilt
from auditor.line_segments import (
    LineSegments,
    find_line_segments,
    pool_segments,
    without_rims,
)

Floats = NDArray[np.float64]

MAX_ROLL_DEG = 12.0  # beyond, the tilt is intended (common practice) and a line is a diagonal
COMMON_ROLL_DEG = 6.0  # standard deviation; hand-held pictures are seldom tilted more
LINE_ERROR_DEG = 0.3  # an edge half a frame long, slightly soft
VOTE_WIDTH_DEG = 0.8  # standard deviation of lines that should be level
GRID_STEP_DEG = 0.2
CONVERGENCE_GRID_DEG = tuple(float(c) for c in np.arange(-12, 12.1, 1.5))  # at the frame's side
CONVERGENCE_WIDTH_DEG = 6.0  # a camera 30 degrees down with a normal lens converges by about 7
LEVEL_BELOW_DEG = 45.0  # separates lines that should be level from those that should be upright
MAX_LINES = 60  # through the longest segments; a table has few edges, a grain has hundreds
MIN_LENGTH_FRACTION = 0.08  # of the short side; a shorter edge carries little information
UPRIGHT_WEIGHT = 0.7  # relative to a level line: glasses taper, and lines in depth look upright
MIN_SUPPORT_FRACTION = 0.5  # of the short side: length of agreeing lines that is needed
ONE_DIRECTION_MAX_DEG = 6.0  # beyond, a lone board or cloth lies askew; roll turns both directions
NO_HORIZON_DEG = 30.0  # camera elevation from which a table's far edge is out of the frame
MIN_AGREEMENT = 0.5  # share of the weight of all near-level and near-upright lines
GUESS_CHANCE, SURE_CHANCE = 0.35, 0.95  # probability at that share, and if all lines agree
COARSE_SIDE_PX = 128  # longest side; a table's far edge is often well out of focus
COARSE_TRUST = 0.9
# A line that looks level may be a wood grain seen from above. Without the camera elevation, one
# direction alone was right on 12 of 27 rendered tables of the family `teaching` and is not used.
UNKNOWN_ELEVATION_TRUST = 0.8


@dataclass(frozen=True, slots=True)
class _Votes:
    """Tilt of each line, its horizontal position in [-1, 1] (0 for level ones), its weight."""

    tilt_deg: Floats
    place: Floats
    weight: Floats
    is_level: NDArray[np.bool_]
    length_fraction: Floats


def tilt_of_lines(
    pixels: NDArray[np.uint8],
    rims: Sequence[Ellipse],
    elevation_deg: float | None,
    segments: LineSegments,
) -> Tilt | None:
    """Tilt of table edges, backdrop lines and upright lines.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    rims : sequence of Ellipse
        Rims, whose flat arcs are not level lines.
    elevation_deg : float or None
        Of the camera.
    segments : LineSegments
        Result of `find_line_segments` for the pixels.

    Returns
    -------
    Tilt or None
        None if no line is near level or upright, if too little length agrees, or if the camera
        looks down so far that nothing in the frame has to be level or upright. If its elevation is
        not known, level and upright lines must agree.
    """
    if elevation_deg is not None and elevation_deg >= NO_HORIZON_DEG:
        return None
    tilt = _tilt_of_votes(_votes(without_rims(segments, rims)), elevation_deg, 1.0)
    if tilt is None:
        coarse = find_line_segments(pixels, COARSE_SIDE_PX)
        tilt = _tilt_of_votes(_votes(without_rims(coarse, rims)), elevation_deg, COARSE_TRUST)
    return tilt


def _tilt_of_votes(votes: _Votes, elevation_deg: float | None, trust: float) -> Tilt | None:
    if votes.weight.size == 0:
        return None
    roll, convergence = _refined(votes, *_mode(votes))
    agrees = np.abs(votes.tilt_deg - roll - convergence * votes.place) <= 2 * VOTE_WIDTH_DEG
    agreement = float(votes.weight[agrees].sum() / votes.weight.sum())
    one_is_enough = elevation_deg is not None and abs(roll) <= ONE_DIRECTION_MAX_DEG
    is_supported = _is_supported(votes, agrees, one_is_enough=one_is_enough)
    if not is_supported or agreement < MIN_AGREEMENT:
        return None
    if elevation_deg is None:
        trust *= UNKNOWN_ELEVATION_TRUST
    support = float(votes.length_fraction[agrees].sum())
    return Tilt(roll, LINE_ERROR_DEG, trust * _probability(support, agreement))


def _votes(segments: LineSegments) -> _Votes:
    short_side = min(segments.width, segments.height)
    off_axis = np.abs(np.mod(segments.angles_deg + 45, 90) - 45)
    near_axis = segments.chosen(off_axis <= MAX_ROLL_DEG)
    lines = [
        line
        for line in pool_segments(near_axis, MAX_LINES)
        if line.covered_px >= MIN_LENGTH_FRACTION * short_side
    ]
    angle = np.array([line.angle_deg for line in lines])
    place = np.array([2 * line.centre[0] / segments.width - 1 for line in lines])
    length = np.array([line.covered_px / short_side for line in lines])
    prominence = np.array([line.prominence for line in lines])
    is_level = np.abs(angle) < LEVEL_BELOW_DEG
    trust = np.where(is_level, 1.0, UPRIGHT_WEIGHT)
    return _Votes(
        np.where(is_level, angle, angle - np.copysign(90.0, angle)),
        np.where(is_level, 0.0, place),
        # Squared: one edge across the frame outweighs ten crumbs of the same total length.
        trust * length**2 * prominence,
        is_level,
        length,
    )


def _mode(votes: _Votes) -> tuple[float, float]:
    """Tilt and convergence with the most votes."""
    tilts = np.arange(-MAX_ROLL_DEG, MAX_ROLL_DEG + GRID_STEP_DEG / 2, GRID_STEP_DEG)
    common = np.exp(-0.5 * (tilts / COMMON_ROLL_DEG) ** 2)
    best = (-math.inf, 0.0, 0.0)
    for convergence in CONVERGENCE_GRID_DEG:
        own = votes.tilt_deg - convergence * votes.place
        off = (own - tilts[:, np.newaxis]) / VOTE_WIDTH_DEG
        prior = math.exp(-0.5 * (convergence / CONVERGENCE_WIDTH_DEG) ** 2)
        score = np.exp(-0.5 * off**2) @ votes.weight * prior * common
        top = int(np.argmax(score))
        best = max(best, (float(score[top]), float(tilts[top]), convergence))
    return best[1], best[2]


def _refined(votes: _Votes, roll: float, convergence: float) -> tuple[float, float]:
    """Refit tilt and convergence to the votes near the mode, by weighted least squares."""
    ridge = np.diag([0.0, (VOTE_WIDTH_DEG / CONVERGENCE_WIDTH_DEG) ** 2])
    design = np.stack([np.ones_like(votes.place), votes.place], axis=1)
    for _ in range(5):
        off = (votes.tilt_deg - roll - convergence * votes.place) / (2.5 * VOTE_WIDTH_DEG)
        # Tukey's biweight: full weight at the mode, none from 2.5 widths on.
        weight = votes.weight * np.clip(1 - off**2, 0, None) ** 2
        if weight.sum() <= 0:
            break
        normal = (design * weight[:, np.newaxis]).T @ design / weight.sum() + ridge
        moment = (design * weight[:, np.newaxis]).T @ votes.tilt_deg / weight.sum()
        roll, convergence = (float(v) for v in np.linalg.solve(normal, moment))
    return roll, convergence


def _is_supported(votes: _Votes, agrees: NDArray[np.bool_], *, one_is_enough: bool) -> bool:
    """True if enough length agrees, in both directions unless one is enough."""
    level = float(votes.length_fraction[agrees & votes.is_level].sum())
    upright = float(votes.length_fraction[agrees & ~votes.is_level].sum())
    if one_is_enough:
        return level + UPRIGHT_WEIGHT * upright >= MIN_SUPPORT_FRACTION
    return min(level, upright) >= MIN_SUPPORT_FRACTION


def _probability(support: float, agreement: float) -> float:
    """Probability that the tilt is right, chosen on rendered tables; low if half disagree."""
    above = (agreement - MIN_AGREEMENT) / (1 - MIN_AGREEMENT)
    chance = GUESS_CHANCE + (SURE_CHANCE - GUESS_CHANCE) * math.sqrt(above)
    return chance * min(1.0, 0.5 + support / 2)
