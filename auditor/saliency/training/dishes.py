"""Things to place on a background: plates, bowls, cups, jars and bare foods, each a layer.

Positions are pixels, rows downwards. A thing is drawn as seen from `elevation_deg` above the
table: its rim is an ellipse of axis ratio sin(elevation).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from scipy import ndimage

from auditor.saliency.training.backgrounds import Picture, Plane, clouds, colour, woven


@dataclass(frozen=True, slots=True)
class Cutout:
    """A food without its background: (h, w, 3) colour in [0, 1] and (h, w) alpha in [0, 1]."""

    picture: Picture
    alpha: Plane


@dataclass(frozen=True, slots=True)
class Layer:
    """A drawn thing: its colour and alpha over the whole frame, and its height for the shadow."""

    picture: Picture
    alpha: Plane
    height_px: float


@dataclass(frozen=True, slots=True)
class View:
    """Camera elevation and light of a scene.

    `light` is a unit vector (right, down) in the frame that points towards the light.
    """

    elevation_deg: float
    light: tuple[float, float]
    hardness: float


class Place(NamedTuple):
    """Where and how a thing is drawn.

    Attributes
    ----------
    h, w : int
        Of the frame, in pixels.
    centre : tuple of float
        Row and column.
    radius : float
        Of its rim, in pixels.
    view : View
    """

    h: int
    w: int
    centre: tuple[float, float]
    radius: float
    view: View


def ellipse(
    h: int, w: int, centre: tuple[float, float], semi: tuple[float, float], tilt: float = 0.0
) -> Plane:
    """Soft mask of an ellipse; `centre` is (row, column), `semi` (across, down)."""
    rows, columns = np.mgrid[0:h, 0:w].astype(np.float32)
    y, x = rows - centre[0], columns - centre[1]
    u, v = x * np.cos(tilt) + y * np.sin(tilt), -x * np.sin(tilt) + y * np.cos(tilt)
    radius = np.sqrt((u / semi[0]) ** 2 + (v / semi[1]) ** 2) + 1e-6
    return np.asarray(np.clip((1 - radius) * min(semi) + 0.5, 0, 1), np.float32)


def shade(h: int, w: int, centre: tuple[float, float], reach: float, view: View) -> Plane:
    """Shading factor: brighter towards the light, about 1 in the middle."""
    rows, columns = np.mgrid[0:h, 0:w].astype(np.float32)
    along = ((columns - centre[1]) * view.light[0] + (rows - centre[0]) * view.light[1]) / reach
    return np.asarray(1 + view.hardness * np.clip(along, -1.2, 1.2), np.float32)


def paste(picture: Picture, alpha: Plane, cutout: Cutout, box: tuple[int, int, int, int]) -> None:
    """Paste a cut-out into (top, left, height, width) of a layer, in place."""
    top, left, height, width = box
    if height < 3 or width < 3:  # too small to be seen
        return
    scale = (height / cutout.alpha.shape[0], width / cutout.alpha.shape[1])
    small = ndimage.zoom(cutout.picture, (*scale, 1), order=1)
    mask = ndimage.zoom(cutout.alpha, scale, order=1)
    height, width = mask.shape
    h, w = alpha.shape
    first_row, first_column = max(0, -top), max(0, -left)
    last_row, last_column = min(height, h - top), min(width, w - left)
    if last_row <= first_row or last_column <= first_column:
        return
    here = (slice(top + first_row, top + last_row), slice(left + first_column, left + last_column))
    there = (slice(first_row, last_row), slice(first_column, last_column))
    cover = mask[there][..., None]
    picture[here] = picture[here] * (1 - cover) + small[there] * cover
    alpha[here] = np.maximum(alpha[here], mask[there])


def varied(rng: np.random.Generator, cutouts: Sequence[Cutout]) -> Cutout:
    """A random food, turned, mirrored and shifted in colour."""
    chosen = cutouts[int(rng.integers(len(cutouts)))]
    picture, alpha = chosen.picture, chosen.alpha
    turns = int(rng.integers(4))
    picture, alpha = np.rot90(picture, turns), np.rot90(alpha, turns)
    if rng.random() < 0.5:
        picture, alpha = picture[:, ::-1], alpha[:, ::-1]
    gain = rng.uniform(0.75, 1.15) * (1 + rng.normal(0, 0.06, 3))
    return Cutout(np.clip(picture * gain, 0, 1).astype(np.float32), alpha)


def crockery(rng: np.random.Generator, h: int, w: int) -> Picture:
    """The colour of a dish: mostly plain, sometimes patterned or wooden."""
    chance = rng.random()
    if chance < 0.45:
        grey = np.full(3, rng.uniform(0.6, 0.97)) * (1 + rng.normal(0, 0.02, 3))
        base = grey.astype(np.float32)
    else:
        base = colour(rng)
    picture = np.broadcast_to(base, (h, w, 3)).copy()
    if chance > 0.9:
        picture = woven(rng, h, w)
    elif chance > 0.75:
        picture = picture * (1 + 0.08 * clouds(rng, h, w, stretch=5))[..., None]
    return np.clip(picture, 0, 1).astype(np.float32)


def fill_with_food(
    rng: np.random.Generator,
    layer: Picture,
    inside: Plane,
    centre: tuple[float, float],
    semi: tuple[float, float],
    cutouts: Sequence[Cutout],
) -> None:
    """Draw food inside an ellipse, in place: a soup or sauce, or one to seven pieces."""
    h, w = inside.shape
    if rng.random() < 0.3:
        fluid = colour(rng) * (1 + 0.1 * clouds(rng, h, w))[..., None]
        layer[:] = layer * (1 - inside[..., None]) + np.clip(fluid, 0, 1) * inside[..., None]
        if rng.random() < 0.5:
            return
    food, alpha = layer.copy(), np.zeros((h, w), np.float32)
    pieces = int(rng.choice([1, 1, 2, 3, 5, 7]))
    kind = varied(rng, cutouts)
    size = semi[0] * (rng.uniform(1.0, 1.8) if pieces == 1 else rng.uniform(0.5, 1.1))
    for _ in range(pieces):
        piece = varied(rng, cutouts) if rng.random() < 0.5 else kind
        spread = 0.0 if pieces == 1 else 0.55
        row = centre[0] + rng.normal(0, 0.1 + spread * 0.6) * semi[1]
        column = centre[1] + rng.normal(0, 0.1 + spread * 0.6) * semi[0]
        height = size * max(0.5, semi[1] / semi[0])
        paste(
            food,
            alpha,
            piece,
            (int(row - height / 2), int(column - size / 2), int(height), int(size)),
        )
    keep = alpha * inside
    dark = ndimage.gaussian_filter(alpha, 2.0) * inside * (1 - alpha)
    layer[:] = layer * (1 - 0.3 * dark[..., None])
    layer[:] = layer * (1 - keep[..., None]) + food * keep[..., None]


def plate(rng: np.random.Generator, place: Place, cutouts: Sequence[Cutout]) -> Layer:
    """A flat dish with a shaded rim, or a round board, with food on it."""
    h, w, centre, radius, view = place
    ratio = max(0.06, np.sin(np.radians(view.elevation_deg))) * rng.uniform(0.9, 1.1)
    if rng.random() < 0.15:
        ratio *= rng.uniform(0.5, 0.9)  # an oval platter
    semi = (radius, radius * min(ratio, 1.0))
    tilt = rng.normal(0, 0.05)
    alpha = ellipse(h, w, centre, semi, tilt)
    picture = crockery(rng, h, w) * shade(h, w, centre, radius, view)[..., None]
    inner = rng.uniform(0.6, 0.9)
    inner_semi = (semi[0] * inner, max(1.0, semi[1] * inner))
    well = ellipse(h, w, centre, inner_semi, tilt)
    rim = ndimage.gaussian_filter(well, 1.5) * (1 - well)
    edge = alpha * (1 - ellipse(h, w, centre, (semi[0] * 0.96, max(1.0, semi[1] * 0.96)), tilt))
    picture = picture * (1 - 0.25 * rim[..., None]) * (1 + rng.normal(0, 0.2) * edge[..., None])
    if rng.random() < 0.9:
        fill_with_food(rng, picture, well, centre, inner_semi, cutouts)
    return Layer(np.clip(picture, 0, 1), alpha, 0.06 * radius)


def vessel(rng: np.random.Generator, place: Place, cutouts: Sequence[Cutout]) -> Layer:
    """A bowl, cup, glass, pot or jar: a rim, a wall below it, and its content."""
    h, w, centre, radius, view = place
    ratio = float(np.clip(np.sin(np.radians(view.elevation_deg)), 0.04, 1.0))
    depth = radius * rng.choice([rng.uniform(0.5, 0.9), rng.uniform(0.9, 2.6)])
    drop = depth * np.cos(np.radians(view.elevation_deg))
    base = radius * (rng.uniform(0.35, 0.8) if depth < radius else rng.uniform(0.7, 1.1))
    top = (centre[0] - drop / 2, centre[1])
    alpha = np.zeros((h, w), np.float32)
    bulge = rng.uniform(0.3, 2.5)
    for step in np.linspace(0, 1, max(4, int(drop / 2) + 2)):
        reach = radius + (base - radius) * step**bulge
        alpha = np.maximum(
            alpha,
            ellipse(h, w, (top[0] + drop * step, centre[1]), (reach, max(1.0, reach * ratio))),
        )
    if rng.random() < 0.2:  # a handle
        side = rng.choice([-1, 1])
        ring_centre = (centre[0], centre[1] + side * radius)
        ring = ellipse(h, w, ring_centre, (radius * 0.5, radius * 0.4))
        hole = ellipse(h, w, ring_centre, (radius * 0.32, radius * 0.24))
        alpha = np.maximum(alpha, ring * (1 - hole))
    picture = crockery(rng, h, w) * shade(h, w, centre, radius, view)[..., None]
    rim_semi = (radius * 0.95, max(1.0, radius * 0.95 * ratio))
    mouth = ellipse(h, w, top, rim_semi)
    opposite = View(view.elevation_deg, (-view.light[0], -view.light[1]), view.hardness)
    inside = crockery(rng, h, w) if rng.random() < 0.3 else picture.copy()
    inside = inside * 0.8 * shade(h, w, top, radius, opposite)[..., None]
    picture = picture * (1 - mouth[..., None]) + inside * mouth[..., None]
    if rng.random() < 0.8:
        level = (top[0] + 0.1 * drop, top[1])
        food_semi = (radius * 0.85, max(1.0, radius * 0.85 * ratio))
        held = ellipse(h, w, level, food_semi) * mouth
        fill_with_food(rng, picture, held, level, food_semi, cutouts)
    return Layer(np.clip(picture, 0, 1), alpha, depth)


def bare(rng: np.random.Generator, place: Place, cutouts: Sequence[Cutout]) -> Layer:
    """A food without a dish, or a small heap of it."""
    h, w, centre, radius, view = place
    picture, alpha = np.zeros((h, w, 3), np.float32), np.zeros((h, w), np.float32)
    food = varied(rng, cutouts)
    pieces = int(rng.choice([1, 1, 1, 3, 4]))
    size = 2 * radius if pieces == 1 else 1.3 * radius
    height = size * rng.uniform(0.75, 1.0)
    for _ in range(pieces):
        spread = 0.0 if pieces == 1 else 0.35 * radius
        row, column = centre[0] + rng.normal(0, spread), centre[1] + rng.normal(0, spread)
        box = (int(row - height / 2), int(column - size / 2), int(height), int(size))
        paste(picture, alpha, food, box)
    lit = picture * shade(h, w, centre, radius, view)[..., None]
    return Layer(np.clip(lit, 0, 1), alpha, 0.5 * radius)


def utensil(rng: np.random.Generator, place: Place) -> Layer:
    """Something thin: a spoon, a fork, chopsticks or a twig."""
    h, w, centre, radius, view = place
    rows, columns = np.mgrid[0:h, 0:w].astype(np.float32)
    angle = rng.uniform(0, np.pi)
    y, x = rows - centre[0], columns - centre[1]
    along, across = x * np.cos(angle) + y * np.sin(angle), -x * np.sin(angle) + y * np.cos(angle)
    thickness = max(1.0, radius * rng.uniform(0.03, 0.09))
    alpha = np.clip(thickness - np.abs(across) + 0.5, 0, 1) * (np.abs(along) < radius)
    if rng.random() < 0.6:
        head = (centre[0] + radius * np.sin(angle), centre[1] + radius * np.cos(angle))
        alpha = np.maximum(alpha, ellipse(h, w, head, (radius * 0.3, radius * 0.18), angle))
    picture = np.broadcast_to(colour(rng), (h, w, 3)) * shade(h, w, centre, radius, view)[..., None]
    return Layer(np.clip(picture, 0, 1).astype(np.float32), alpha.astype(np.float32), 1.0)
