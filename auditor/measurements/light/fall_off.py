"""The fall-off of luminance over the frame, as a cue, and the scene without it.

A near light falls off over the table, but a gradient or a vignette laid over the finished picture
looks the same, whatever its direction. The fall-off is therefore taken out of the scene before
shadows and shading are measured, and what it says is believed only in part (`dial`).

Lengths are in halves of the frame's diagonal, from its centre.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.light.colour_terms import colour_columns, least_squares
from auditor.measurements.light.scene import MARGIN_PX, LitScene, dilated

Floats = NDArray[np.float64]

STEP_PX = 4  # between compared pixels: longer than the grain, shorter than most shadows
SAME_CHROMATICITY = 0.02  # shares of red and blue; two pixels of one material (by eye)
MIN_PAIRS = 800
PAIRS = 12_000  # evenly spaced; enough for three coefficients
N_REWEIGHTINGS = 8
TUKEY_SCALE = 4.5  # of the median absolute residual, about 3 standard deviations
MIN_RESIDUAL_EV = 0.2  # per half diagonal; drawn pictures have none
RADIAL_RIDGE = 50.0  # pairs; little ground says little about a vignette
FALL_OFF_NOISE_EV = 0.25
TRIMS_EV = (1.0, 0.5, 0.5)  # around the median, then each fit: no shadows, no stains
MIN_SIN_ELEVATION = 0.4  # elevation about 24 degrees; lower, half of the "ground" is wall
MIN_GROUND_PX = 400
GROUND_PX = 5_000  # evenly spaced; enough for one slope
GROUND_RADIAL_RIDGE = 0.05  # of the pixels


@dataclass(frozen=True, slots=True)
class Slope:
    """Change of luminance over the frame: linear, and with the squared distance from the centre.

    Attributes
    ----------
    right, up : float
        EV per half diagonal.
    radial : float
        EV at the corners relative to the centre; negative in a vignette.
    """

    right: float
    up: float
    radial: float


@dataclass(frozen=True, slots=True)
class FallOff:
    """The fall-off of luminance over the open ground.

    Attributes
    ----------
    right, away : float
        Vector on the table towards the brighter side; its length, in [0, 1), is the strength
        relative to the noise.
    slope_ev : float
        Its size in the picture, EV per half diagonal.
    """

    right: float
    away: float
    slope_ev: float


def slope_of(scene: LitScene) -> Slope | None:
    """Slope of the luminance of the ground, from differences between near pixels.

    Steps between materials and edges of shadows are outliers of the differences, so that a dark
    table in front of a light wall has no slope. A gradient laid over the picture adds exactly its
    own slope.

    Parameters
    ----------
    scene : LitScene

    Returns
    -------
    Slope or None
        None if there is too little ground.
    """
    x, y = _positions(scene)
    ground = ~dilated(scene.labels > 0, MARGIN_PX)
    everything = slice(None)
    # From each pixel to the one on its right, then to the one above it.
    rightwards = ((everything, slice(None, -STEP_PX)), (everything, slice(STEP_PX, None)))
    upwards = ((slice(STEP_PX, None), everything), (slice(None, -STEP_PX), everything))
    parts = []
    for position, (near, far) in ((x, rightwards), (y, upwards)):
        apart = np.abs(scene.chromaticity[far] - scene.chromaticity[near])
        kept = ground[near] & ground[far]
        for share in (0, 1):
            kept &= apart[..., share] < SAME_CHROMATICITY
        chosen = np.flatnonzero(kept)
        change = (scene.luminance_ev[far] - scene.luminance_ev[near]).take(chosen)
        parts.append(((position[near] + position[far]).take(chosen), change))
    n_pairs = sum(len(change) for _, change in parts)
    if n_pairs < MIN_PAIRS:
        return None
    step = 1 + n_pairs // PAIRS
    squares, changes = (np.concatenate(part)[::step] for part in zip(*parts, strict=True))
    n_rightwards = len(range(0, len(parts[0][0]), step))
    return Slope(*_robust(squares, changes * _half_diagonal_px(scene) / STEP_PX, n_rightwards))


def without_slope(scene: LitScene, slope: Slope) -> LitScene:
    """The scene as it would be without that slope."""
    x, y = _positions(scene)
    laid = slope.right * x + slope.up * y + slope.radial * (x**2 + y**2)
    return replace(scene, luminance_ev=scene.luminance_ev - laid)


def fall_off_of(scene: LitScene) -> FallOff | None:
    """Fit a slope to the luminance of the open ground.

    It spans shadows and grain, so it is less noisy than `slope_of`.

    Parameters
    ----------
    scene : LitScene

    Returns
    -------
    FallOff or None
        None if there is too little ground, or if the camera is so low that much of it is wall.
    """
    if scene.sin_elevation < MIN_SIN_ELEVATION:
        return None
    ground = scene.ground
    some = np.nonzero(ground.rows % (1 + ground.rows.size // GROUND_PX) == 0)[0]
    if some.size < MIN_GROUND_PX:
        return None
    rows, columns, values = ground.rows[some], ground.columns[some], ground.luminance_ev[some]
    x, y = (position[rows, columns] for position in _positions(scene))
    chromaticity = ground.chromaticity[some]
    design = np.stack([x, y, x**2 + y**2, *colour_columns(chromaticity), np.ones_like(x)], axis=1)
    ridge = np.array([0, 0, GROUND_RADIAL_RIDGE * some.size, 0, 0, 0])
    residual = values - np.median(values)
    for trim_ev in TRIMS_EV:
        kept = np.flatnonzero(np.abs(residual) < trim_ev)
        if kept.size < MIN_GROUND_PX:
            return None
        fitted = least_squares(design.take(kept, axis=0), values.take(kept), ridge)
        residual = values - design @ fitted
    right, up = float(fitted[0]), float(fitted[1])
    away = up / scene.sin_elevation
    noise = math.hypot(right, away) + FALL_OFF_NOISE_EV
    return FallOff(right / noise, away / noise, math.hypot(right, up))


def _robust(squares: Floats, values: Floats, n_rightwards: int) -> tuple[float, float, float]:
    """Fit a slope by iteratively reweighted least squares with Tukey's biweight.

    Parameters
    ----------
    squares : (N,) float array
        Change of the squared distance from the centre along each pair, as multiples of its length.
    values : (N,) float array
        Change of luminance along each pair.
    n_rightwards : int
        Pairs that go to the right, before those that go up.
    """
    sides = (slice(n_rightwards), slice(n_rightwards, None))
    slopes = [float(np.median(values[side])) if values[side].size else 0.0 for side in sides]
    radial = 0.0
    for _ in range(N_REWEIGHTINGS):
        residual = values - radial * squares
        for side, slope in zip(sides, slopes, strict=True):
            residual[side] -= slope
        np.abs(residual, out=residual)
        scale = TUKEY_SCALE * max(float(np.median(residual)), MIN_RESIDUAL_EV)
        residual /= scale
        weight = np.maximum(1 - residual * residual, 0)
        weight *= weight
        weighted = weight * squares
        # The normal equations: a pair adds to the slope of its own direction and to the radial one.
        matrix, totals = np.zeros((3, 3)), np.zeros(3)
        for nth, side in enumerate(sides):
            matrix[nth, nth], totals[nth] = weight[side].sum(), weight[side] @ values[side]
            matrix[nth, 2] = matrix[2, nth] = weighted[side].sum()
        matrix[2, 2], totals[2] = weighted @ squares + RADIAL_RIDGE, weighted @ values
        *slopes, radial = np.linalg.lstsq(matrix, totals, rcond=1e-9)[0].tolist()
    return slopes[0], slopes[1], radial


def _half_diagonal_px(scene: LitScene) -> float:
    return math.hypot(*scene.labels.shape) / 2


def _positions(scene: LitScene) -> tuple[Floats, Floats]:
    """Each pixel's place to the right of the centre and above it, in half diagonals."""
    height, width = scene.labels.shape
    y, x = np.mgrid[:height, :width] + 0.5
    half = _half_diagonal_px(scene)
    return (x - width / 2) / half, (height / 2 - y) / half
