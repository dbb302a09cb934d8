"""Local cues to the light direction: rings of ground, cast shadows, shading.

A cast shadow gives a profile over all directions. Every other cue gives a vector. Vectors of rings
lie on the table plane, (right, away), and point to the light. Vectors of shading lie in the
picture, (right, up): a rounded thing is bright where it faces the light, and the height of the
light turns them upwards. The length of a vector, in [0, 1), is the strength of the cue relative to
its noise. The fall-off over the whole frame is a cue of its own (`fall_off`). The widths in EV and
px were chosen by eye on rendered tables.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.light.cast_shadow import NOISE_EV, REACH, shadow_profile
from auditor.measurements.light.colour_terms import colour_columns, least_squares
from auditor.measurements.light.pieces import pieces_on
from auditor.measurements.light.scene import LitScene, Surroundings, Thing

Floats = NDArray[np.float64]
CueName = Literal["ring", "shading"]
ShadowName = Literal["cast shadow", "shadow of a piece"]

RING = (1.45, 2.3)  # radii of the thing: where the shadow of a thing as high as wide falls
HALF_WEIGHT_AREA = 0.04  # of the frame; gave better results on rendered tables than half or twice
N_DIRECTIONS = 24
MIN_DIRECTIONS = 10  # with ground in them; fewer leave more than half of the ring unknown
MIN_DIRECTION_PX = 3
RANGE_EV = (-2.5, 1.0)  # around the ring's median; beyond it is another thing
MIN_RING_PX = 40
# A small ridge penalises the chromaticity terms, so that a wave of light is not explained as one of
# colour.
CHROMATICITY_RIDGE = 0.1
SHADING_NOISE_EV = 0.35  # food is uneven
CORE_FRACTION = 0.2  # of the radius, left out along the outline of a thing
SHADING_RANGE_EV = 1.5  # around the thing's median; beyond it are highlights, gaps and garnish
SHADING_PX = 3_000  # in evenly spaced rows; enough for one slope
SHADING_TRIM_EV = 0.7  # around the first fit


@dataclass(frozen=True, slots=True)
class Cue:
    """A vector cue to the light direction.

    Attributes
    ----------
    name : str
    right, other : float
        To the right of the camera, and away from it (rings) or up (shading).
    weight : float
        Of the thing among the others, in (0, 1].
    """

    name: CueName
    right: float
    other: float
    weight: float


@dataclass(frozen=True, slots=True)
class ShadowCue:
    """One cast shadow, or its absence.

    Attributes
    ----------
    name : str
    profile : (N_SWEEPS,) float array
        How well light from each of `SWEEPS` explains the dark ground.
    weight : float
        Of the thing among the others, in (0, 1].
    """

    name: ShadowName
    profile: Floats
    weight: float


def read_cues(scene: LitScene) -> list[Cue | ShadowCue]:
    """Measure the cues at each thing of a scene from which the fall-off is taken out."""
    cues: list[Cue | ShadowCue] = []
    for thing in scene.things():
        around = scene.around(thing, REACH)
        weight = _thing_weight(thing)
        for reading in (_ring(around), _shading(scene, thing)):
            if reading is not None:
                name, (x, y) = reading
                cues.append(Cue(name, x, y, weight))
        profile = shadow_profile(thing, around, scene.sin_elevation)
        if profile is not None:
            cues.append(ShadowCue("cast shadow", profile, weight))
        cues.extend(_shadows_of_pieces(scene, thing))
    return cues


def _shadows_of_pieces(scene: LitScene, whole: Thing) -> Iterator[ShadowCue]:
    for piece, around, weight in pieces_on(scene, whole, REACH):
        profile = shadow_profile(piece, around, scene.sin_elevation)
        if profile is not None:
            yield ShadowCue("shadow of a piece", profile, weight)


def _thing_weight(thing: Thing) -> float:
    """Small things weigh less: their rings have few pixels and their masks are uncertain."""
    return thing.area_fraction / (thing.area_fraction + HALF_WEIGHT_AREA)


Reading = tuple[CueName, tuple[float, float]]


def _relative_to_noise(right: float, other: float, noise: float) -> tuple[float, float]:
    length = math.hypot(right, other)
    return float(right / (length + noise)), float(other / (length + noise))


def _ring(around: Surroundings) -> Reading | None:
    """Fit one wave around the thing to the ground's luminance."""
    within = (around.radius >= RING[0]) & (around.radius < RING[1])
    if np.count_nonzero(within) < MIN_RING_PX:
        return None
    values = around.luminance_ev[within]
    values = np.clip(values - np.median(values), *RANGE_EV)
    turn = np.arctan2(around.right[within], around.away[within]) / (2 * np.pi) + 0.5
    direction = np.floor(turn * N_DIRECTIONS).astype(np.intp) % N_DIRECTIONS
    count = np.bincount(direction, minlength=N_DIRECTIONS)
    known = count >= MIN_DIRECTION_PX
    n_known = np.count_nonzero(known)
    if n_known < MIN_DIRECTIONS:
        return None
    mean, red, blue = (
        np.bincount(direction, of_pixel, minlength=N_DIRECTIONS)[known] / count[known]
        for of_pixel in (values, *colour_columns(around.chromaticity[within]))
    )
    middle = ((np.arange(N_DIRECTIONS) + 0.5) / N_DIRECTIONS - 0.5)[known] * 2 * np.pi
    design = np.stack([np.sin(middle), np.cos(middle), red, blue, np.ones_like(middle)], axis=1)
    # The ridge keeps the fit from putting a wave into a gap.
    ridge = np.diag([1.0, 1.0, CHROMATICITY_RIDGE, CHROMATICITY_RIDGE, 0.0])
    wave = np.linalg.solve(design.T @ design + ridge, design.T @ mean)
    residual = float(np.sqrt(np.mean((mean - design @ wave) ** 2)))
    x, y = _relative_to_noise(float(wave[0]), float(wave[1]), NOISE_EV + residual / 2)
    return "ring", (x * n_known / N_DIRECTIONS, y * n_known / N_DIRECTIONS)


def _shading(scene: LitScene, thing: Thing) -> Reading | None:
    """Fit a slope to the luminance across a thing."""
    core = thing.inside(max(1, round(CORE_FRACTION * thing.radius_px)))
    n_px = np.count_nonzero(core)
    if n_px < MIN_RING_PX:
        return None
    step = 1 + n_px // SHADING_PX
    rows, columns = np.nonzero(core[::step])
    top, left = (side.start for side in thing.box)
    seen = scene.pixels_at(rows * step + top, columns + left)
    values = seen.luminance_ev
    values = np.clip(values - np.median(values), -SHADING_RANGE_EV, SHADING_RANGE_EV)
    design = _design(
        (columns - columns.mean()) / thing.radius_px,
        (rows.mean() - rows) * step / thing.radius_px,
        seen.chromaticity,
    )
    fitted = least_squares(design, values)
    kept = np.flatnonzero(np.abs(values - design @ fitted) < SHADING_TRIM_EV)
    if kept.size >= MIN_RING_PX:
        fitted = least_squares(design.take(kept, axis=0), values.take(kept))
    return "shading", _relative_to_noise(float(fitted[0]), float(fitted[1]), SHADING_NOISE_EV)


def _design(x: Floats, y: Floats, chromaticity: Floats) -> Floats:
    return np.stack([x, y, *colour_columns(chromaticity), np.ones_like(x)], axis=1)
