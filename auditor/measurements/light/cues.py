"""What speaks of the light's direction: rings of ground, cast shadows, fall-off, shading.

A cast shadow gives a profile over all directions. Each other cue gives a vector. Those on the
ground lie on the table plane, (right, away), and point to the light. Those on a thing lie in the
picture, (right, up), since a rounded thing is bright where it faces the light, whose height lifts
them upwards. The vector's length, in [0, 1), is how far the cue stands out of its own noise.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.light.cast_shadow import REACH, shadow_profile
from auditor.measurements.light.pieces import pieces_on
from auditor.measurements.light.scene import LitScene, Surroundings, Thing

Floats = NDArray[np.float64]
CueName = Literal["ring", "fall-off", "shading"]
ShadowName = Literal["cast shadow", "shadow of a piece"]

RING = (1.45, 2.3)  # radii of the thing: where the shadow of what is as high as wide falls
HALF_WEIGHT_SIZE = 0.1  # root of the share of the frame: a thing of 1 % counts half
N_DIRECTIONS = 24
MIN_DIRECTIONS = 10  # with ground in them; fewer leave more than half of the ring unknown
MIN_DIRECTION_PX = 3
RANGE_EV = (-2.5, 1.0)  # about the ring's median; beyond lies another thing
NOISE_EV = 0.12  # uneven ground: wood, linen and stone vary by about this at 320 px
MIN_RING_PX = 40
SHADING_NOISE_EV = 0.35  # food is uneven
CORE_FRACTION = 0.2  # of the radius, left out along the outline of a thing
SHADING_RANGE_EV = 1.5  # about the thing's median; beyond lie highlights, gaps and garnish
FALL_OFF_NOISE_EV = 0.25
FALL_OFF_TRIM_EV = 0.5  # about the fitted plane; beyond lie shadows and stains
MIN_FALL_OFF_SIN = 0.4  # elevation about 24 degrees; lower, half of the "ground" is wall
MIN_GROUND_PX = 400
FALL_OFF_PX = 10_000  # so many, evenly chosen, tell one slope


@dataclass(frozen=True, slots=True)
class Cue:
    """One reading of the light's direction.

    Attributes
    ----------
    name : str
    right, other : float
        To the right of the camera, and away from it (ground cues) or up (cues on a thing).
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
        How well a light from each of `SWEEPS` explains the dark ground.
    weight : float
        Of the thing among the others, in (0, 1].
    """

    name: ShadowName
    profile: Floats
    weight: float


def read_cues(scene: LitScene) -> list[Cue | ShadowCue]:
    """Everything that the picture says of its light."""
    cues: list[Cue | ShadowCue] = list(_fall_off(scene))
    for thing in scene.things():
        around = scene.around(thing, REACH)
        weight = _thing_weight(thing)
        for reading in (
            _ring(around),
            _shading(scene, thing),
        ):
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
    """Small things say less: their rings are few pixels and their masks uncertain."""
    size = math.sqrt(thing.area_fraction)
    return size / (size + HALF_WEIGHT_SIZE)


Reading = tuple[CueName, tuple[float, float]]


def _standing_out(right: float, other: float, noise: float) -> tuple[float, float]:
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
    place = np.floor(turn * N_DIRECTIONS).astype(np.intp) % N_DIRECTIONS
    count = np.bincount(place, minlength=N_DIRECTIONS)
    known = count >= MIN_DIRECTION_PX
    n_known = np.count_nonzero(known)
    if n_known < MIN_DIRECTIONS:
        return None
    mean = np.bincount(place, values, minlength=N_DIRECTIONS)[known] / count[known]
    middle = ((np.arange(N_DIRECTIONS) + 0.5) / N_DIRECTIONS - 0.5)[known] * 2 * np.pi
    design = np.stack([np.sin(middle), np.cos(middle), np.ones_like(middle)], axis=1)
    normal = design.T @ design + np.diag([1.0, 1.0, 0.0])  # a gap must not be filled with a wave
    wave = np.linalg.solve(normal, design.T @ mean)
    residual = float(np.sqrt(np.mean((mean - design @ wave) ** 2)))
    x, y = _standing_out(float(wave[0]), float(wave[1]), NOISE_EV + residual / 2)
    return "ring", (x * n_known / N_DIRECTIONS, y * n_known / N_DIRECTIONS)


def _shading(scene: LitScene, thing: Thing) -> Reading | None:
    """Fit one slope to the luminance across a thing."""
    rows, columns = np.nonzero(thing.inside(max(1, round(CORE_FRACTION * thing.radius_px))))
    if rows.size < MIN_RING_PX:
        return None
    values = scene.luminance_ev[rows, columns]
    values = np.clip(values - np.median(values), -SHADING_RANGE_EV, SHADING_RANGE_EV)
    slope = _slope(
        (columns - columns.mean()) / thing.radius_px,
        (rows.mean() - rows) / thing.radius_px,
        values,
    )
    return "shading", _standing_out(*slope, SHADING_NOISE_EV)


def _slope(x: Floats, y: Floats, values: Floats) -> tuple[float, float]:
    design = np.stack([x, y, np.ones_like(x)], axis=1)
    fitted = np.linalg.lstsq(design, values, rcond=None)[0]
    return float(fitted[0]), float(fitted[1])


def _fall_off(scene: LitScene) -> Iterator[Cue]:
    """Fit one slope to the luminance of the open ground."""
    if scene.sin_elevation < MIN_FALL_OFF_SIN:
        return
    ground = scene.ground
    some = np.nonzero(ground.rows % max(1, ground.rows.size // FALL_OFF_PX) == 0)[0]
    alike = some[ground.of_one_colour(some)]
    rows, columns, values = ground.rows[alike], ground.columns[alike], ground.luminance_ev[alike]
    if rows.size < MIN_GROUND_PX:
        return
    half = math.hypot(*scene.labels.shape) / 2
    x = (columns - columns.mean()) / half
    y = (rows.mean() - rows) / half / scene.sin_elevation
    kept = np.abs(values - np.median(values)) < 2 * FALL_OFF_TRIM_EV
    for _ in range(3):
        if np.count_nonzero(kept) < MIN_GROUND_PX:
            return
        slope = _slope(x[kept], y[kept], values[kept])
        plane = slope[0] * x + slope[1] * y
        kept = np.abs(values - plane - np.median((values - plane)[kept])) < FALL_OFF_TRIM_EV
    yield Cue("fall-off", *_standing_out(*slope, FALL_OFF_NOISE_EV), 1.0)
