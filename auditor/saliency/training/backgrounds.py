"""Procedural backgrounds: the surface that food stands on and the wall behind it.

All pictures here are (h, w, 3) float32, display-referred sRGB in [0, 1].
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Picture = NDArray[np.float32]
Plane = NDArray[np.float32]


def colour(rng: np.random.Generator) -> NDArray[np.float32]:
    """A random colour: tables and walls are mostly dull, sometimes bright or saturated."""
    level = rng.choice([rng.uniform(0.03, 0.25), rng.uniform(0.2, 0.7), rng.uniform(0.65, 0.97)])
    saturation = rng.choice([rng.uniform(0, 0.08), rng.uniform(0.05, 0.3), rng.uniform(0.2, 0.7)])
    hue = rng.normal(size=3)
    hue /= np.abs(hue).max() + 1e-6
    mixed = level * (1 + saturation * hue)
    return np.asarray(np.clip(mixed, 0, 1), np.float32)


def noise(rng: np.random.Generator, h: int, w: int, cell: tuple[float, float]) -> Plane:
    """Smooth noise of about unit spread, with cells of (rows, columns) pixels."""
    small = rng.normal(size=(max(2, int(h / cell[0]) + 3), max(2, int(w / cell[1]) + 3)))
    zoomed = ndimage.zoom(small, (h / (small.shape[0] - 2), w / (small.shape[1] - 2)), order=1)
    return np.asarray(zoomed[:h, :w], np.float32)


def clouds(rng: np.random.Generator, h: int, w: int, stretch: float = 1.0) -> Plane:
    """Noise at several scales, like stone, plaster or (stretched) wood."""
    total = np.zeros((h, w), np.float32)
    slope = rng.uniform(0.4, 0.9)
    for octave in range(6):
        cell = max(h, w) / 2.0 ** (octave + 1)
        if cell < 1:
            break
        total += slope**octave * noise(rng, h, w, (cell, cell * stretch))
    return total


def coordinates(rng: np.random.Generator, h: int, w: int) -> tuple[Plane, Plane]:
    """Table coordinates of each pixel, turned at random and often in perspective."""
    rows, columns = np.mgrid[0:h, 0:w].astype(np.float32)
    y, x = rows / h - 0.5, (columns - w / 2) / h
    if rng.random() < 0.5:
        depth = 1 / (1 + rng.uniform(0, 0.9) * (0.5 - y))
        x, y = x * depth, y * depth * rng.uniform(1, 3)
    angle = rng.uniform(0, np.pi)
    return (x * np.cos(angle) + y * np.sin(angle)), (-x * np.sin(angle) + y * np.cos(angle))


def woven(rng: np.random.Generator, h: int, w: int) -> Picture:
    """Stripes, checks or dots in two or three colours."""
    u, v = coordinates(rng, h, w)
    frequency = rng.uniform(3, 40)
    kind = rng.integers(4)
    wave_u, wave_v = np.sin(2 * np.pi * frequency * u), np.sin(2 * np.pi * frequency * v)
    if kind == 0:
        pattern = wave_u
    elif kind == 1:
        pattern = np.where(wave_u * wave_v > 0, 1.0, -1.0)
    elif kind == 2:
        pattern = wave_u + wave_v
    else:
        pattern = np.maximum(wave_u * wave_v - rng.uniform(0.2, 0.7), 0) * 4
    hardness = rng.choice([1.0, 3.0, 12.0])
    blend = (1 / (1 + np.exp(-hardness * np.clip(pattern, -5, 5))))[..., None]
    first = colour(rng)
    second = np.clip(first + rng.normal(0, rng.choice([0.05, 0.2, 0.5]), 3), 0, 1)
    return np.asarray(first * blend + second.astype(np.float32) * (1 - blend), np.float32)


def planks(rng: np.random.Generator, h: int, w: int) -> Picture:
    """Wood: stretched noise, divided into boards."""
    _, v = coordinates(rng, h, w)
    grain = clouds(rng, h, w, stretch=rng.uniform(4, 14))
    rings = np.sin(rng.uniform(10, 60) * v + rng.uniform(0, 2) * grain)
    boards = np.floor(v * rng.uniform(2, 8))
    shades = rng.normal(0, 1, 64)[(boards.astype(int) % 64)]
    gap = (np.abs(v * 5 % 1) < 0.02) * rng.choice([0.0, 1.0])
    base = colour(rng)
    depth = 0.03 * grain + rng.uniform(0, 0.06) * rings + rng.uniform(0, 0.08) * shades
    lit = base * (1 + depth - 0.5 * gap)[..., None]
    return np.asarray(np.clip(lit, 0, 1), np.float32)


def plain(rng: np.random.Generator, h: int, w: int) -> Picture:
    """One colour with variation like stone or plaster, sometimes in colour too."""
    depth = rng.choice([0.0, 0.02, 0.08, 0.2])
    picture = colour(rng) * (1 + depth * clouds(rng, h, w))[..., None]
    if rng.random() < 0.3:
        other = clouds(rng, h, w)
        picture = picture + 0.1 * rng.random() * other[..., None] * rng.normal(size=3)
    return np.asarray(np.clip(picture, 0, 1), np.float32)


def surface(rng: np.random.Generator, h: int, w: int, photographs: Sequence[Picture]) -> Picture:
    """A random surface that fills the frame."""
    kind = rng.choice(4, p=[0.35, 0.25, 0.2, 0.2])
    if kind == 0:
        return plain(rng, h, w)
    if kind == 1:
        return planks(rng, h, w)
    if kind == 2:
        return woven(rng, h, w)
    photograph = photographs[int(rng.integers(len(photographs)))]
    crop = photograph[:: 1 if rng.random() < 0.5 else -1, :: 1 if rng.random() < 0.5 else -1]
    zoomed = ndimage.zoom(crop, (h / crop.shape[0], w / crop.shape[1], 1), order=1)
    sigma = rng.uniform(3, 20)
    return np.asarray(ndimage.gaussian_filter(zoomed, (sigma, sigma, 0)), np.float32)


def polygon(rng: np.random.Generator, h: int, w: int) -> Plane:
    """A quadrilateral cloth or board, as a soft mask."""
    rows, columns = np.mgrid[0:h, 0:w].astype(np.float32)
    x, y = (columns - w * rng.uniform(0.2, 0.8)) / h, (rows - h * rng.uniform(0.3, 0.8)) / h
    mask = np.ones((h, w), np.float32)
    angle = rng.uniform(0, np.pi / 2)
    for side in range(4):
        turned = angle + side * np.pi / 2 + rng.normal(0, 0.12)
        reach = rng.uniform(0.2, 0.6)
        distance = reach - (x * np.cos(turned) + y * np.sin(turned))
        mask *= np.clip(distance * h / 1.5 + 0.5, 0, 1)
    return mask


def background(
    rng: np.random.Generator, h: int, w: int, elevation_deg: float, photographs: Sequence[Picture]
) -> tuple[Picture, float]:
    """An empty table: a surface, at low elevations a wall behind it, sometimes a cloth.

    Returns
    -------
    picture : (h, w, 3) float32 array
    horizon : float
        Row of the table's far edge, as a fraction of the height; negative if it is not in the
        frame.
    """
    picture = surface(rng, h, w, photographs)
    horizon = -1.0
    if elevation_deg < rng.uniform(15, 60):
        horizon = rng.uniform(0.05, 0.55)
        wall = surface(rng, h, w, photographs)
        if rng.random() < 0.5:
            sigma = rng.uniform(2, 12)
            wall = ndimage.gaussian_filter(wall, (sigma, sigma, 0))
        rows, columns = np.mgrid[0:h, 0:w].astype(np.float32)
        tilt = rng.normal(0, 0.02)
        edge = horizon * h + tilt * (columns - w / 2)
        softness = rng.choice([1.0, 4.0, 15.0])
        above = np.clip((edge - rows) / softness + 0.5, 0, 1)[..., None]
        picture = picture * (1 - above) + wall * above
    if rng.random() < 0.35:
        mask = polygon(rng, h, w)
        if horizon > 0:
            mask[: int(horizon * h)] = 0
        cloth = surface(rng, h, w, photographs)
        shadow = ndimage.gaussian_filter(np.roll(mask, (2, 2), (0, 1)), 2)
        picture = picture * (1 - 0.35 * shadow[..., None] * (1 - mask[..., None]))
        picture = picture * (1 - mask[..., None]) + cloth * mask[..., None]
    return picture.astype(np.float32), horizon
