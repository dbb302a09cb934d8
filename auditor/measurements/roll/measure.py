"""The most probable roll, from upright lines, level lines and rims that lie level.

Each reading is valid with some probability, and then has its stated error; otherwise it carries
almost no information. The product of the readings and of a prior (pictures are seldom tilted far)
is the probability of every roll; the answer is where most of it is concentrated.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse, Tilt
from auditor.line_segments import LineSegments, find_line_segments, without_rims
from auditor.measurements.roll.level_lines import (
    COMMON_ROLL_DEG,
    MAX_ROLL_DEG,
    tilt_of_level_lines,
)
from auditor.measurements.roll.uprights import tilt_of_uprights
from auditor.quantity import Quantity
from auditor.reasons import Reason

Floats = NDArray[np.float64]

TOLERANCE_DEG = 1.0  # a horizon off by more is seen at a glance; common practice
STRAY_DEG = 8.0  # standard deviation of wrong readings: rims of oval dishes, boards laid askew
NEAR_SHARE = 0.8  # of wrong readings; the others are off by any angle, at this uniform density
ANYWHERE = 0.2 / 180.0
LEAST_SPREAD_DEG = 0.2  # however many readings agree; photographs turned by known angles
SPREAD_REACH_DEG = 2.0  # from the answer; what lies farther is another answer
# Semi-axis, of the diagonal: where all rims are smaller, they may be wheels, clocks or knobs, and
# the camera elevation from them does not deny uprights. Such rims gave an elevation of 59 and 72
# degrees in rooms and streets; the dishes among lines seen from above had 0.16 and more.
MIN_DISH_FRACTION = 0.12
MIN_CONFIDENCE = 0.6  # a roll little more likely right than wrong is not reported
GRID_STEP_DEG = 0.05
# Beyond the greatest roll, so that a larger tilt is not mistaken for it.
GRID_DEG = np.arange(-2 * MAX_ROLL_DEG, 2 * MAX_ROLL_DEG + GRID_STEP_DEG / 2, GRID_STEP_DEG)


@dataclass(frozen=True, slots=True)
class Roll:
    """How far the picture is turned.

    Attributes
    ----------
    deg : float
        Positive if level things rise to the right (turn the picture clockwise to correct it); the
        quantity's tolerance is in degrees.
    """

    deg: float


def measure_roll(
    pixels: NDArray[np.uint8],
    rims: Sequence[Ellipse],
    elevation_deg: float | None,
    *,
    tilts: Sequence[Tilt] = (),
    segments: LineSegments | None = None,
) -> Quantity[Roll]:
    """Estimate the roll of a picture.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    rims : sequence of Ellipse
        Rims, whose flat arcs are not level lines.
    elevation_deg : float or None
        Of the camera; from high up the far edge of the table is out of the frame.
    tilts : sequence of Tilt
        Estimates from the planes of the rims, assuming that they lie level.
    segments : LineSegments or None
        Result of `find_line_segments` for the pixels, if it is known already.

    Returns
    -------
    Quantity of Roll
        Undetermined (`Reason.NO_LEVEL_LINE`) if nothing shows the roll: from overhead nothing has
        to be level, and a round rim has no tilt.
    """
    found = find_line_segments(pixels) if segments is None else segments
    straight = without_rims(found, rims)
    largest = max((rim.semi_axes[0] for rim in rims), default=1.0)
    by_lines = (
        tilt_of_uprights(straight, None if largest < MIN_DISH_FRACTION else elevation_deg),
        tilt_of_level_lines(pixels, rims, elevation_deg, straight),
    )
    readings = [*tilts, *(tilt for tilt in by_lines if tilt is not None)]
    if not readings:
        return Quantity.undetermined(Reason.NO_LEVEL_LINE)
    roll_deg, confidence, spread_deg = _most_likely(readings)
    if confidence < MIN_CONFIDENCE or abs(roll_deg) > MAX_ROLL_DEG:
        return Quantity.undetermined(Reason.NO_LEVEL_LINE)
    return Quantity.measured(
        Roll(roll_deg), confidence=confidence, tolerance=TOLERANCE_DEG, spread=spread_deg
    )


def _most_likely(readings: Sequence[Tilt]) -> tuple[float, float, float]:
    """The most probable roll, its probability within the tolerance, and the spread around it."""
    density = _normal(GRID_DEG, COMMON_ROLL_DEG)
    for tilt in readings:
        right = _normal(GRID_DEG - tilt.deg, max(tilt.error_deg, GRID_STEP_DEG))
        wrong = NEAR_SHARE * float(_normal(tilt.deg, STRAY_DEG)) + ANYWHERE
        density = density * (tilt.chance * right + (1 - tilt.chance) * wrong)
    density /= density.sum()
    n_within = round(TOLERANCE_DEG / GRID_STEP_DEG)
    within = np.convolve(density, np.ones(2 * n_within + 1), mode="same")
    best = int(within.argmax())
    near = slice(max(0, best - n_within), best + n_within + 1)
    roll_deg = float(GRID_DEG[near] @ density[near] / density[near].sum())
    return roll_deg, float(min(1.0, within[best])), _spread_deg(density, roll_deg)


def _spread_deg(density: Floats, roll_deg: float) -> float:
    """Standard deviation of the right readings around a roll, at least the least error."""
    off = GRID_DEG - roll_deg
    near = np.abs(off) <= SPREAD_REACH_DEG
    variance = float(off[near] ** 2 @ density[near] / density[near].sum())
    return max(LEAST_SPREAD_DEG, math.sqrt(variance))


def _normal(offset: Floats | float, deviation: float) -> Floats:
    """Density of the normal distribution."""
    return np.asarray(
        np.exp(-0.5 * (np.asarray(offset) / deviation) ** 2) / (deviation * np.sqrt(2 * np.pi))
    )
