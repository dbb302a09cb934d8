"""The roll that most speaks for: lines that should be level or upright, rims that lie level.

Each reading is right with some chance, and then about as exact as it says; else it says little
more than that pictures are seldom far askew. Multiplied with each other and with what is known
beforehand, they give the probability of every roll; the answer is where most of it lies together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse, Tilt
from auditor.line_segments import LineSegments, find_line_segments
from auditor.measurements.roll.lines import COMMON_ROLL_DEG, MAX_ROLL_DEG, tilt_of_lines
from auditor.quantity import Quantity
from auditor.reasons import Reason

Floats = NDArray[np.float64]

TOLERANCE_DEG = 1.0  # a horizon off by more is seen at a glance; common practice
STRAY_DEG = 8.0  # standard deviation of wrong readings: rims of oval dishes, boards laid askew
ANYWHERE = 0.2 / 180.0  # density of those that are wrong by anything, a fifth of them
LEAST_CONFIDENCE = 0.6  # what is little more likely right than wrong is not told
GRID_STEP_DEG = 0.05
# Past the greatest roll, so that what lies there is not taken for it.
GRID_DEG = np.arange(-2 * MAX_ROLL_DEG, 2 * MAX_ROLL_DEG + GRID_STEP_DEG / 2, GRID_STEP_DEG)


@dataclass(frozen=True, slots=True)
class Roll:
    """How far the picture is turned.

    Attributes
    ----------
    deg : float
        Positive where level things rise to the right (turn the picture clockwise to mend it); the
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
    """Tell the roll of (H, W, 3) uint8 sRGB pixels.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
    rims : sequence of Ellipse
        Their flat arcs are no level lines.
    elevation_deg : float or None
        Of the camera: how far the far edge of the table can be in the frame.
    tilts : sequence of Tilt
        What the planes of the rims say, if they lie level.
    segments : LineSegments or None
        What `find_line_segments` found in the pixels, where that is known already.

    Returns
    -------
    Quantity of Roll
        Undetermined (`Reason.NO_LEVEL_LINE`) where there is nothing to go by: from overhead
        nothing has to be level, and a round rim has no tilt.
    """
    found = find_line_segments(pixels) if segments is None else segments
    by_lines = tilt_of_lines(pixels, rims, elevation_deg, found)
    readings = [*tilts, *([] if by_lines is None else [by_lines])]
    if not readings:
        return Quantity.undetermined(Reason.NO_LEVEL_LINE)
    roll_deg, confidence = _most_likely(readings)
    if confidence < LEAST_CONFIDENCE or abs(roll_deg) > MAX_ROLL_DEG:
        return Quantity.undetermined(Reason.NO_LEVEL_LINE)
    return Quantity.measured(Roll(roll_deg), confidence=confidence, tolerance=TOLERANCE_DEG)


def _most_likely(readings: Sequence[Tilt]) -> tuple[float, float]:
    """The roll about which most probability lies, and how much within the tolerance."""
    density = _normal(GRID_DEG, COMMON_ROLL_DEG)
    for tilt in readings:
        right = _normal(GRID_DEG - tilt.deg, max(tilt.error_deg, GRID_STEP_DEG))
        wrong = 0.8 * float(_normal(tilt.deg, STRAY_DEG)) + ANYWHERE
        density = density * (tilt.chance * right + (1 - tilt.chance) * wrong)
    density /= density.sum()
    n_within = round(TOLERANCE_DEG / GRID_STEP_DEG)
    within = np.convolve(density, np.ones(2 * n_within + 1), mode="same")
    best = int(within.argmax())
    near = slice(max(0, best - n_within), best + n_within + 1)
    roll_deg = float(GRID_DEG[near] @ density[near] / density[near].sum())
    return roll_deg, float(min(1.0, within[best]))


def _normal(offset: Floats | float, deviation: float) -> Floats:
    """Density of the normal distribution."""
    return np.asarray(
        np.exp(-0.5 * (np.asarray(offset) / deviation) ** 2) / (deviation * np.sqrt(2 * np.pi))
    )
