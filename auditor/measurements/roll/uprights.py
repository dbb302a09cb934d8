"""The roll from upright lines: edges of walls, doors, windows, shelves, table legs, bottles.

Lines that are upright in the scene meet in one point of the picture, the zenith or the nadir. At
the position (x, y) from the middle of the frame they run along (sin r - k x, cos r - k y): r is the
roll, and k says how fast they converge, 0 for a level camera. Both are searched on a grid and
refined with Tukey's biweight, so that lines that recede into the depth, plants and people do not
matter as long as fewer of them agree.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Tilt, diagonal_px
from auditor.line_segments import LineSegments

Floats = NDArray[np.float64]

MAX_OFF_UPRIGHT_DEG = 35.0  # the corner of a room seen with a wide lens from above leans by 30
MIN_LENGTH_FRACTION = 0.05  # of the short side; a shorter edge has no reliable direction
MAX_LINES = 150  # the longest ones; a façade has hundreds
HALF_CONTRAST = 0.06  # of full scale: a step with half weight, as for pooled lines
# Standard error of a line's direction: a pixel's error over its length, and how upright things are.
# Chosen with the lengths and widths here on 22 photographs with uprights (salient, coco, food) and
# 86 others with lines near upright, each turned by four angles: the answer had to follow.
PIXEL_ERROR_DEG = 36.0  # times the length in px
BUILD_ERROR_DEG = 0.4
GRID_WIDTH_DEG = 1.2  # standard deviation added on the grid, wider than its steps
ROLL_GRID = np.radians(np.arange(-16.0, 16.01, 0.5))
CONVERGENCE_GRID = np.arange(-0.45, 0.661, 0.03)  # per half diagonal
CONVERGENCE_DEVIATION = 0.25  # 50 mm lens, camera 30 degrees up or down
PRIOR_EXPONENT = 0.5  # a weak hint, no more
TUKEY_CUT = 3.0  # standard errors, beyond which a line has no weight
MODEL_ERROR_DEG = 0.8  # lens distortion, the middle of the frame off the optical axis
N_REFINEMENTS = 10
AGREEING_WEIGHT = 0.25  # of Tukey's weight: 2.1 standard errors

RIVAL_DEG = 3.0  # a second tilt this far from the answer is another answer
MIN_LINES = 5  # the two sides of a tray and a knife are four
MIN_SUPPORT_FRACTION = 0.6  # of the short side: length of the agreeing lines together
# Logistic regression on 85 turned copies of 22 photographs with uprights, 83 other photographs with
# lines near upright (salient, coco; judged by eye), 311 turned copies of these, and 9 dishes. It
# leaves out how rare a roll is, which `measure` adds.
INTERCEPT, PER_AGREEMENT, PER_RIVAL, PER_ERROR_DEG = 4.3, 2.2, -5.4, -1.15
# Error of a right reading besides that of the fit: nothing built is exactly upright.
RIGHT_ERROR_DEG = 0.3

# A camera at a known elevation sees uprights converge by tan(elevation) / focal length, in half
# diagonals: lenses of 22 mm to 108 mm (35 mm equivalent). From above only cloths, slats and cutlery
# look upright, and these do not converge so.
FOCAL_LENGTHS = (1.0, 5.0)
ELEVATION_ERROR_DEG = 12.0
CONVERGENCE_ERROR = 0.08


@dataclass(frozen=True, slots=True)
class _Lines:
    """n near-upright lines: place in half diagonals from the middle, direction, weight."""

    x: Floats
    y: Floats
    right: Floats
    down: Floats
    length_fraction: Floats
    prominence: Floats
    error_deg: Floats

    @property
    def weight(self) -> Floats:
        return self.length_fraction * self.prominence


@dataclass(frozen=True, slots=True)
class Zenith:
    """Where the upright lines of a picture meet, and how well they agree.

    Attributes
    ----------
    roll_deg : float
        Positive if level things rise to the right.
    convergence : float
        Of upright lines, per half diagonal of the frame; positive if the camera looks down.
    error_deg : float
        Standard error of the roll, if the lines are upright.
    n_lines : int
        Lines that agree.
    support_fraction : float
        Their length together, as a fraction of the short side.
    agreement : float
        Their share of the weight of all near-upright lines, in [0, 1].
    rival : float
        Score of the best roll at least `RIVAL_DEG` away, over that of the answer, in [0, 1].
    """

    roll_deg: float
    convergence: float
    error_deg: float
    n_lines: int
    support_fraction: float
    agreement: float
    rival: float


def tilt_of_uprights(segments: LineSegments, elevation_deg: float | None) -> Tilt | None:
    """Estimate the roll from upright lines.

    Parameters
    ----------
    segments : LineSegments
        Without those along rims.
    elevation_deg : float or None
        Of the camera, if it is known; uprights must then converge accordingly.

    Returns
    -------
    Tilt or None
        None if too few lines agree, or if they cannot be upright at the camera's elevation.
    """
    zenith = find_zenith(segments)
    if zenith is None or zenith.n_lines < MIN_LINES:
        return None
    if zenith.support_fraction < MIN_SUPPORT_FRACTION:
        return None
    if elevation_deg is not None and not _fits_elevation(zenith.convergence, elevation_deg):
        return None
    error_deg = math.hypot(zenith.error_deg, RIGHT_ERROR_DEG)
    return Tilt(zenith.roll_deg, error_deg, _probability(zenith))


def find_zenith(segments: LineSegments) -> Zenith | None:
    """Find the point in which most near-upright lines meet; None without such lines."""
    lines = _near_upright(segments)
    if lines.x.size == 0:
        return None
    score = _scores(lines)
    at_roll, at_convergence = np.unravel_index(int(score.argmax()), score.shape)
    start = float(ROLL_GRID[at_roll]), float(CONVERGENCE_GRID[at_convergence])
    roll, convergence, weight, error_deg = _refined(lines, *start)
    agrees = weight >= AGREEING_WEIGHT
    away = np.abs(ROLL_GRID - roll) > math.radians(RIVAL_DEG)
    return Zenith(
        math.degrees(roll),
        convergence,
        error_deg,
        int(agrees.sum()),
        float(lines.length_fraction[agrees].sum()),
        float(lines.weight[agrees].sum() / lines.weight.sum()),
        float(score[away].max() / score.max()),
    )


def _near_upright(segments: LineSegments) -> _Lines:
    short_side = min(segments.width, segments.height)
    is_near = np.abs(segments.angles_deg) >= 90 - MAX_OFF_UPRIGHT_DEG
    is_long = segments.lengths_px >= MIN_LENGTH_FRACTION * short_side
    kept = np.flatnonzero(is_near & is_long)
    longest = kept[np.argsort(-segments.lengths_px[kept], kind="stable")[:MAX_LINES]]
    lines = segments.chosen(longest)
    half_diagonal = diagonal_px(segments.width, segments.height) / 2
    downwards = np.where(lines.directions[:, 1] < 0, -1.0, 1.0)
    return _Lines(
        (lines.centres[:, 0] - segments.width / 2) / half_diagonal,
        (lines.centres[:, 1] - segments.height / 2) / half_diagonal,
        lines.directions[:, 0] * downwards,
        lines.directions[:, 1] * downwards,
        lines.lengths_px / short_side,
        lines.contrasts / (lines.contrasts + HALF_CONTRAST),
        np.hypot(PIXEL_ERROR_DEG / lines.lengths_px, BUILD_ERROR_DEG),
    )


def _scores(lines: _Lines) -> Floats:
    """Weight of the lines that agree with each roll and convergence of the grid."""
    variance = np.radians(np.hypot(lines.error_deg, GRID_WIDTH_DEG)) ** 2
    sine, cosine = np.sin(ROLL_GRID), np.cos(ROLL_GRID)
    score = np.empty((ROLL_GRID.size, CONVERGENCE_GRID.size))
    for column, convergence in enumerate(CONVERGENCE_GRID):
        right = sine[:, np.newaxis] - convergence * lines.x
        down = cosine[:, np.newaxis] - convergence * lines.y
        off = lines.right * down - lines.down * right  # times the length of (right, down)
        squared = off**2 / (right**2 + down**2)
        score[:, column] = np.exp(-0.5 * squared / variance) @ lines.weight
    off_level = CONVERGENCE_GRID / CONVERGENCE_DEVIATION
    return np.asarray(score * np.exp(-0.5 * PRIOR_EXPONENT * off_level**2))


def _refined(lines: _Lines, roll: float, convergence: float) -> tuple[float, float, Floats, float]:
    """Refit roll and convergence; also return Tukey's weights and the roll's standard error."""
    ridge = np.array([0.0, 1 / CONVERGENCE_DEVIATION**2])
    scale = TUKEY_CUT * np.hypot(lines.error_deg, MODEL_ERROR_DEG)
    weight = np.zeros_like(lines.x)
    normal = np.eye(2)
    for _ in range(N_REFINEMENTS):
        right = math.sin(roll) - convergence * lines.x
        down = math.cos(roll) - convergence * lines.y
        off_deg = np.degrees(
            np.arctan2(
                lines.right * down - lines.down * right,
                lines.right * right + lines.down * down,
            )
        )
        weight = np.clip(1 - (off_deg / scale) ** 2, 0, None) ** 2
        information = weight * lines.prominence / lines.error_deg**2
        squared = right**2 + down**2
        slope = np.degrees(
            np.stack(
                [
                    (down * math.cos(roll) + right * math.sin(roll)) / squared,
                    (right * lines.y - down * lines.x) / squared,
                ],
                axis=1,
            )
        )
        # The tiny term keeps the matrix regular where no line has weight.
        normal = (slope * information[:, np.newaxis]).T @ slope + np.diag(ridge + 1e-9)
        pull = slope.T @ (information * off_deg) - ridge * (0.0, convergence)
        step = np.linalg.solve(normal, pull)
        roll, convergence = roll + float(step[0]), convergence + float(step[1])
    error = math.sqrt(float(np.linalg.inv(normal)[0, 0]))
    return roll, convergence, weight, math.degrees(error)


def _fits_elevation(convergence: float, elevation_deg: float) -> bool:
    """True if uprights can converge so for a camera at this elevation, with any common lens."""
    lowest = math.tan(math.radians(max(elevation_deg - ELEVATION_ERROR_DEG, 0.0)))
    highest = math.tan(math.radians(min(elevation_deg + ELEVATION_ERROR_DEG, 89.0)))
    shortest, longest = FOCAL_LENGTHS
    least, most = lowest / longest - CONVERGENCE_ERROR, highest / shortest + CONVERGENCE_ERROR
    return least <= convergence <= most


def _probability(zenith: Zenith) -> float:
    """Probability that the lines are upright and the roll is within a degree."""
    logit = (
        INTERCEPT
        + PER_AGREEMENT * zenith.agreement
        + PER_RIVAL * zenith.rival
        + PER_ERROR_DEG * zenith.error_deg
    )
    return 1 / (1 + math.exp(-logit))
