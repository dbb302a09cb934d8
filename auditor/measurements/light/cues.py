"""What speaks of the light's direction: rings of ground, cast shadows, fall-off, shading.

Each cue gives a vector. Those on the ground lie on the table plane, (right, away), and point to
the light. Those on a thing lie in the picture, (right, up), since a rounded thing is bright where
it faces the light, whose height lifts them upwards. The vector's length, in [0, 1), is how far
the cue stands out of its own noise.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.measurements.light.scene import MARGIN_PX, LitScene, Mask, Surroundings, Thing

Floats = NDArray[np.float64]
CueName = Literal["near ring", "far ring", "cast shadow", "fall-off", "shading"]

NEAR_RING = (1.0, 1.45)  # radii of the thing: contact shadow, and the shadow of a flat dish
FAR_RING = (1.45, 2.3)  # the cast shadow of what is as high as wide
MIN_SHADOW_RADIUS = 0.5  # radii; nearer to the foot a direction means nothing
HALF_WEIGHT_SIZE = 0.1  # root of the share of the frame: a thing of 1 % counts half
SHADOW_REACH = 3.2  # radii; a light at 22 degrees above the table casts 2.5 heights
N_DIRECTIONS = 24
MIN_DIRECTIONS = 10  # with ground in them; fewer leave more than half of the ring unknown
MIN_DIRECTION_PX = 3
RANGE_EV = (-2.5, 1.0)  # about the ring's median; beyond lies another thing
NOISE_EV = 0.12  # uneven ground: wood, linen and stone vary by about this at 320 px
MIN_SHADOW_EV = 0.3  # darker than the open ground; less is uneven ground
OPEN_GROUND_PERCENTILE = 70  # a shadow seldom covers more than a third of the surroundings
TOUCH_PX = 2  # a shadow begins at the thing
MIN_RING_PX = 40
MAX_SHADOW_EV = 2.0  # deeper is another thing, or no light at all
FULL_SHADOW_SHARE = 0.08  # of the thing's disc; a shadow so large is no stain
SHADING_NOISE_EV = 0.35  # food is uneven
CORE_FRACTION = 0.2  # of the radius, left out along the outline of a thing
SHADING_RANGE_EV = 1.5  # about the thing's median; beyond lie highlights, gaps and garnish
FALL_OFF_NOISE_EV = 0.25
FALL_OFF_TRIM_EV = 0.5  # about the fitted plane; beyond lie shadows and stains
MIN_FALL_OFF_SIN = 0.4  # elevation about 24 degrees; lower, half of the "ground" is wall
MIN_GROUND_PX = 400


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


def read_cues(scene: LitScene) -> list[Cue]:
    """Everything that the picture says of its light."""
    cues = list(_fall_off(scene))
    for thing in scene.things():
        around = scene.around(thing, SHADOW_REACH)
        for reading in (
            _ring(around, "near ring", NEAR_RING),
            _ring(around, "far ring", FAR_RING),
            _cast_shadow(scene, thing, around),
            _shading(scene, thing),
        ):
            if reading is not None:
                name, (x, y) = reading
                cues.append(Cue(name, x, y, _thing_weight(thing)))
    return cues


def _thing_weight(thing: Thing) -> float:
    """Small things say less: their rings are few pixels and their masks uncertain."""
    size = math.sqrt(thing.area_fraction)
    return size / (size + HALF_WEIGHT_SIZE)


Reading = tuple[CueName, tuple[float, float]]


def _standing_out(right: float, other: float, noise: float) -> tuple[float, float]:
    length = math.hypot(right, other)
    return float(right / (length + noise)), float(other / (length + noise))


def _ring(around: Surroundings, name: CueName, limits: tuple[float, float]) -> Reading | None:
    """Fit one wave around the thing to the ground's luminance."""
    within = (around.radius >= limits[0]) & (around.radius < limits[1])
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
    return name, (x * n_known / N_DIRECTIONS, y * n_known / N_DIRECTIONS)


def _cast_shadow(scene: LitScene, thing: Thing, around: Surroundings) -> Reading | None:
    """Darkened ground that touches the thing; the light stands opposite."""
    if around.rows.size < MIN_RING_PX:
        return None
    open_ground = float(np.percentile(around.luminance_ev, OPEN_GROUND_PERCENTILE))
    depth = open_ground - around.luminance_ev
    attached = (depth > MIN_SHADOW_EV) & _attached(scene, thing, around, depth > MIN_SHADOW_EV)
    total = float(np.clip(depth[attached], 0, MAX_SHADOW_EV).sum())
    if total <= 0:
        return None
    share = np.clip(depth[attached], 0, MAX_SHADOW_EV) / total
    share /= np.maximum(around.radius[attached], MIN_SHADOW_RADIUS)
    disc = math.pi * thing.radius_px**2 * scene.sin_elevation
    size = total / (total + FULL_SHADOW_SHARE * disc)
    return "cast shadow", (
        -size * float(share @ around.right[attached]),
        -size * float(share @ around.away[attached]),
    )


def _attached(scene: LitScene, thing: Thing, around: Surroundings, dark: Mask) -> Mask:
    """Which pixels belong to dark regions that begin at the thing."""
    is_dark = np.zeros(scene.labels.shape, dtype=bool)
    is_dark[around.rows[dark], around.columns[dark]] = True
    regions, n_regions = ndimage.label(is_dark)
    own = regions[around.rows, around.columns]
    grown = ndimage.maximum_filter(thing.mask, 2 * (MARGIN_PX + TOUCH_PX) + 1)
    touching = grown[around.rows, around.columns]
    begins = np.bincount(own[touching & dark], minlength=n_regions + 1) > 0
    begins[0] = False
    return np.asarray(begins[own], dtype=np.bool_)


def _shading(scene: LitScene, thing: Thing) -> Reading | None:
    """Fit one slope to the luminance across a thing."""
    rows, columns = _core(thing)
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


def _core(thing: Thing) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    depth = max(1, round(CORE_FRACTION * thing.radius_px))
    rows, columns = np.nonzero(ndimage.minimum_filter(thing.mask, 2 * depth + 1))
    return rows, columns


def _slope(x: Floats, y: Floats, values: Floats) -> tuple[float, float]:
    design = np.stack([x, y, np.ones_like(x)], axis=1)
    fitted = np.linalg.lstsq(design, values, rcond=None)[0]
    return float(fitted[0]), float(fitted[1])


def _fall_off(scene: LitScene) -> Iterator[Cue]:
    """Fit one slope to the luminance of the open ground."""
    if scene.sin_elevation < MIN_FALL_OFF_SIN:
        return
    ground = scene.ground
    alike = ground.of_one_colour(np.arange(ground.rows.size))
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
