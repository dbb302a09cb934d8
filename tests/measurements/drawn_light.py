"""Spheres on a table, drawn under a wide light from a known direction."""

import math
from functools import cache

import numpy as np

from auditor.colorimetry import srgb_from_linear
from auditor.geometry import clock_difference_hours

SIZE_PX = (300, 240)
GROUND_ALBEDO = 0.35
BALL_ALBEDO = (0.55, 0.30, 0.12)
# Centre (right, away) and radius in px; the first is the subject.
BALL_SRGB = (190, 150, 95)
BALLS = (((-8.0, 6.0), 30.0), ((70.0, 70.0), 14.0), ((-75.0, -80.0), 12.0))


def towards_light(clock, height_deg):
    angle, height = clock * math.pi / 6, math.radians(height_deg)
    return np.array(
        [
            math.cos(height) * math.sin(angle),
            math.cos(height) * math.cos(angle),
            math.sin(height),
        ]
    )


def is_shadowed(points, light):
    shadowed = np.zeros(points.shape[:2], dtype=bool)
    for (x, y), radius in BALLS:
        to_centre = np.array([x, y, radius]) - points
        along = to_centre @ light
        miss = np.linalg.norm(to_centre - along[..., np.newaxis] * light, axis=2)
        shadowed |= (along > 0.01 * radius) & (miss < radius * 0.999)
    return shadowed


@cache
def table(clock, elevation_deg, height_deg=40.0, fill=0.25, key=1.0, seed=0, n_lights=8):
    """Balls on a table under a wide light and an even fill, seen without perspective."""
    height, width = SIZE_PX
    elevation = math.radians(elevation_deg)
    across, up = np.meshgrid(np.arange(width) - width / 2 + 0.5, height / 2 - np.arange(height))
    # The camera looks along `view`; a ray starts where it would meet the table.
    back = np.array([0, -math.cos(elevation), math.sin(elevation)])
    points = np.stack([across, up / math.sin(elevation), np.zeros_like(across)], axis=2)
    normals = np.zeros_like(points) + np.array([0, 0, 1.0])
    albedo = np.full((height, width, 3), GROUND_ALBEDO)
    labels = np.zeros((height, width), dtype=int)
    reached = np.zeros((height, width))
    for number, ((x, y), radius) in enumerate(BALLS, start=1):
        centre = np.array([x, y, radius])
        from_centre = points - centre
        half = from_centre @ back
        inside = half**2 - (from_centre**2).sum(axis=2) + radius**2
        distance = -half + np.sqrt(np.maximum(inside, 0))
        hit = (inside > 0) & (distance > reached)
        spot = points + distance[..., np.newaxis] * back
        normals[hit] = ((spot - centre) / radius)[hit]
        albedo[hit], labels[hit], reached[hit] = BALL_ALBEDO, number, distance[hit]
    seen = points + reached[..., np.newaxis] * back
    random = np.random.default_rng(seed)
    light = np.zeros((height, width))
    for _ in range(n_lights):
        direction = towards_light(clock, height_deg) + random.normal(0, 0.12, 3)
        direction /= np.linalg.norm(direction)
        facing = np.clip(normals @ direction, 0, None)
        light += np.where(is_shadowed(seen, direction), 0, facing) / n_lights
    sky = fill * (1 + normals[..., 2]) / 2
    linear = albedo * (key * light + sky)[..., np.newaxis]
    linear *= np.exp(random.normal(0, 0.04, (height, width, 1)))
    pixels = np.round(255 * srgb_from_linear(np.clip(linear, 0, 1))).astype(np.uint8)
    return pixels, labels == 1, np.maximum(labels - 1, 0).astype(np.int32)


def error_hours(quantity, clock):
    return abs(clock_difference_hours(quantity.value.clock, clock))
