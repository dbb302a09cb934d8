"""The roll from level lines: the far edge of a table, a shelf, a backdrop, seen straight on.

Lines near level vote for a tilt, weighted by length and contrast. The mode of the votes is used,
because lines that are askew on purpose (a cloth, a knife) must not bias it. From high above
nothing in the frame has to look level, and without a known camera elevation a lone line may be a
board laid askew.
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
TUKEY_CUT = 2.5  # vote widths, beyond which a line has no weight
N_REFINEMENTS = 5
MAX_LINES = 60  # through the longest segments; a table has few edges, a grain has hundreds
MIN_LENGTH_FRACTION = 0.08  # of the short side; a shorter edge carries little information
MIN_SUPPORT_FRACTION = 0.5  # of the short side: length of agreeing lines that is needed
LONE_LINES_MAX_DEG = 6.0  # beyond, a board or cloth lies askew
NO_HORIZON_DEG = 30.0  # camera elevation from which a table's far edge is out of the frame
MIN_AGREEMENT = 0.5  # share of the weight of all near-level lines
GUESS_CHANCE, SURE_CHANCE = 0.35, 0.95  # probability at that share, and if all lines agree
COARSE_SIDE_PX = 128  # longest side; a table's far edge is often well out of focus
COARSE_TRUST = 0.9


@dataclass(frozen=True, slots=True)
class _Votes:
    """Tilt, weight and length of each near-level line."""

    tilt_deg: Floats
    weight: Floats
    length_fraction: Floats


def tilt_of_level_lines(
    pixels: NDArray[np.uint8],
    rims: Sequence[Ellipse],
    elevation_deg: float | None,
    segments: LineSegments,
) -> Tilt | None:
    """Estimate the roll from level lines.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    rims : sequence of Ellipse
        Rims, whose flat arcs are not level lines.
    elevation_deg : float or None
        Of the camera.
    segments : LineSegments
        Result of `find_line_segments` for the pixels, without those along rims.

    Returns
    -------
    Tilt or None
        None if no line is near level, if too little length agrees, if the camera looks down so far
        that nothing in the frame has to be level, or if its elevation is not known.
    """
    if elevation_deg is None or elevation_deg >= NO_HORIZON_DEG:
        return None
    tilt = _tilt_of_votes(_votes(segments), 1.0)
    if tilt is None:
        coarse = find_line_segments(pixels, COARSE_SIDE_PX)
        tilt = _tilt_of_votes(_votes(without_rims(coarse, rims)), COARSE_TRUST)
    return tilt


def _tilt_of_votes(votes: _Votes, trust: float) -> Tilt | None:
    if votes.weight.size == 0:
        return None
    roll = _refined(votes, _mode(votes))
    agrees = np.abs(votes.tilt_deg - roll) <= 2 * VOTE_WIDTH_DEG
    agreement = float(votes.weight[agrees].sum() / votes.weight.sum())
    support = float(votes.length_fraction[agrees].sum())
    if abs(roll) > LONE_LINES_MAX_DEG or support < MIN_SUPPORT_FRACTION:
        return None
    if agreement < MIN_AGREEMENT:
        return None
    return Tilt(roll, LINE_ERROR_DEG, trust * _probability(support, agreement))


def _votes(segments: LineSegments) -> _Votes:
    short_side = min(segments.width, segments.height)
    near_level = segments.chosen(np.abs(segments.angles_deg) <= MAX_ROLL_DEG)
    lines = [
        line
        for line in pool_segments(near_level, MAX_LINES)
        if line.covered_px >= MIN_LENGTH_FRACTION * short_side
    ]
    length = np.array([line.covered_px / short_side for line in lines])
    prominence = np.array([line.prominence for line in lines])
    # Squared: one edge across the frame outweighs ten crumbs of the same total length.
    return _Votes(np.array([line.angle_deg for line in lines]), length**2 * prominence, length)


def _mode(votes: _Votes) -> float:
    """Tilt with the most votes."""
    tilts = np.arange(-MAX_ROLL_DEG, MAX_ROLL_DEG + GRID_STEP_DEG / 2, GRID_STEP_DEG)
    off = (votes.tilt_deg - tilts[:, np.newaxis]) / VOTE_WIDTH_DEG
    score = np.exp(-0.5 * off**2) @ votes.weight * np.exp(-0.5 * (tilts / COMMON_ROLL_DEG) ** 2)
    return float(tilts[int(np.argmax(score))])


def _refined(votes: _Votes, roll: float) -> float:
    """Mean of the votes near the mode, with Tukey's biweight."""
    for _ in range(N_REFINEMENTS):
        off = (votes.tilt_deg - roll) / (TUKEY_CUT * VOTE_WIDTH_DEG)
        weight = votes.weight * np.clip(1 - off**2, 0, None) ** 2
        if weight.sum() <= 0:
            break
        roll = float(weight @ votes.tilt_deg / weight.sum())
    return roll


def _probability(support: float, agreement: float) -> float:
    """Probability that the tilt is right, chosen on rendered tables; low if half disagree."""
    above = (agreement - MIN_AGREEMENT) / (1 - MIN_AGREEMENT)
    chance = GUESS_CHANCE + (SURE_CHANCE - GUESS_CHANCE) * math.sqrt(above)
    return chance * min(1.0, 0.5 + support / 2)
