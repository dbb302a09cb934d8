"""Composed scenes with known truth: a background, one main dish, up to five smaller things."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.saliency.training.backgrounds import Picture, Plane, background
from auditor.saliency.training.dishes import (
    Cutout,
    Layer,
    Place,
    View,
    bare,
    plate,
    utensil,
    vessel,
)

SIDE_PX = 256  # of the network's square input
ASPECTS = (0.667, 0.75, 0.8, 1.0, 1.333, 1.5, 1.778)  # width over height
CORE_SHARE = 0.35  # of a thing's inner radius that its core leaves out


@dataclass(frozen=True, slots=True)
class Example:
    """A scene and its truth, both square.

    Attributes
    ----------
    picture : (SIDE_PX, SIDE_PX, 3) uint8 array
        sRGB.
    truth : (SIDE_PX, SIDE_PX, 3) uint8 array
        0 to 255: subject, all placed things, the cores of things.
    """

    picture: NDArray[np.uint8]
    truth: NDArray[np.uint8]


@dataclass(slots=True)
class Placed:
    """A thing in the scene, before others are drawn over it."""

    layer: Layer
    row: float
    is_subject: bool


def compose(
    rng: np.random.Generator, cutouts: Sequence[Cutout], photographs: Sequence[Picture]
) -> Example:
    """Compose one scene."""
    aspect = float(rng.choice(ASPECTS))
    h, w = round(SIDE_PX / aspect**0.5), round(SIDE_PX * aspect**0.5)
    elevation = float(rng.choice([90.0, rng.uniform(75, 90), rng.uniform(8, 90)]))
    angle = rng.uniform(0, 2 * np.pi)
    view = View(elevation, (np.cos(angle), np.sin(angle)), rng.uniform(0.0, 0.35))
    picture, horizon = background(rng, h, w, elevation, photographs)
    things = place(rng, h, w, horizon, view, cutouts)
    picture, subject, instances = draw(rng, picture, things, view)
    picture = finish(rng, picture, subject, view)
    planes = np.stack([subject, union(instances, h, w), cores(instances, h, w)], axis=-1)
    scale = (SIDE_PX / h, SIDE_PX / w, 1)
    return Example(
        _bytes(ndimage.zoom(picture, scale, order=1)), _bytes(ndimage.zoom(planes, scale, order=1))
    )


def place(
    rng: np.random.Generator,
    h: int,
    w: int,
    horizon: float,
    view: View,
    cutouts: Sequence[Cutout],
) -> list[Placed]:
    """Place one subject anywhere in the frame and smaller things around it."""
    short = min(h, w)
    radius = short * float(rng.choice([rng.uniform(0.1, 0.3), rng.uniform(0.2, 0.5)]))
    if rng.random() < 0.12:
        radius = short * rng.uniform(0.45, 0.7)  # a close-up, cut by the frame
    low = max(0.0, horizon)
    if rng.random() < 0.55:
        row, column = rng.uniform(low + 0.1, 0.92), rng.uniform(0.08, 0.92)
    else:
        row, column = rng.normal(0.52, 0.1), rng.normal(0.5, 0.1)
    margin = min(radius * 0.7, short * 0.3)
    centre = (
        float(np.clip(max(row, low + 0.05) * h, margin, h - margin)),
        float(np.clip(column * w, margin, w - margin)),
    )
    things = [
        Placed(thing(rng, Place(h, w, centre, radius, view), cutouts), centre[0], is_subject=True)
    ]
    taken = [(centre, radius)]
    wanted = int(rng.choice(6, p=[0.25, 0.2, 0.2, 0.15, 0.1, 0.1]))
    for _ in range(wanted * 4):
        if len(things) > wanted:
            break
        smaller = radius * rng.uniform(0.25, 0.62)
        smaller = min(smaller, short * 0.3)
        spot = (rng.uniform(max(low, -0.02), 1.05) * h, rng.uniform(-0.05, 1.05) * w)
        gap = rng.uniform(0.75, 1.1)
        if all(_apart(spot, smaller, other, view) > gap for other in taken):
            layer = (
                utensil(rng, Place(h, w, spot, smaller * 1.2, view))
                if rng.random() < 0.15
                else thing(rng, Place(h, w, spot, smaller, view), cutouts)
            )
            things.append(Placed(layer, spot[0], is_subject=False))
            taken.append((spot, smaller))
    return sorted(things, key=lambda placed: placed.row)


def thing(rng: np.random.Generator, place: Place, cutouts: Sequence[Cutout]) -> Layer:
    """A random dish or food."""
    kind = rng.choice(3, p=[0.4, 0.35, 0.25])
    maker = (plate, vessel, bare)[int(kind)]
    return maker(rng, place, cutouts)


def draw(
    rng: np.random.Generator, picture: Picture, things: Sequence[Placed], view: View
) -> tuple[Picture, Plane, list[Plane]]:
    """Draw things from the farthest to the nearest, each with its shadow."""
    softness = float(rng.choice([0.8, 3.0, 8.0]))
    strength = rng.uniform(0.15, 0.7)
    throw = rng.uniform(0.1, 1.2)
    focus = rng.random() < 0.25
    subject = np.zeros(picture.shape[:2], np.float32)
    instances: list[Plane] = []
    if focus:
        sigma = rng.uniform(1, 4)
        picture = ndimage.gaussian_filter(picture, (sigma, sigma, 0))
    for placed in things:
        alpha = placed.layer.alpha
        colour = placed.layer.picture
        if focus and not placed.is_subject and rng.random() < 0.7:
            sigma = rng.uniform(0.8, 3)
            alpha = ndimage.gaussian_filter(alpha, sigma)
            colour = ndimage.gaussian_filter(colour, (sigma, sigma, 0))
        reach = placed.layer.height_px * throw + 2
        shift = (-view.light[1] * reach, -view.light[0] * reach)
        shadow = ndimage.shift(alpha, shift, order=1)
        shadow = ndimage.gaussian_filter(np.maximum(shadow, alpha), softness + 0.1 * reach)
        picture = picture * (1 - strength * shadow * (1 - alpha))[..., None]
        picture = picture * (1 - alpha[..., None]) + colour * alpha[..., None]
        instances = [earlier * (1 - alpha) for earlier in instances]
        subject = subject * (1 - alpha)
        if placed.is_subject:
            subject = alpha
        instances.append(alpha)
    return picture.astype(np.float32), subject, instances


def finish(rng: np.random.Generator, picture: Picture, subject: Plane, view: View) -> Picture:
    """Add a light gradient and a colour cast, and sometimes a vignette, blur and grain."""
    h, w = subject.shape
    rows, columns = np.mgrid[0:h, 0:w].astype(np.float32)
    along = (columns / w - 0.5) * view.light[0] + (rows / h - 0.5) * view.light[1]
    picture = picture * (1 + rng.uniform(0, 0.8) * along)[..., None]
    if rng.random() < 0.3:
        away = ((columns / w - 0.5) ** 2 + (rows / h - 0.5) ** 2)[..., None]
        picture = picture * (1 - rng.uniform(0, 1.2) * away)
    picture = np.asarray(picture * (1 + rng.normal(0, 0.04, 3)), np.float32)
    if rng.random() < 0.3:
        sigma = rng.uniform(0.3, 1.2)
        picture = ndimage.gaussian_filter(picture, (sigma, sigma, 0))
    grain = rng.choice([0.0, 0.01, 0.03])
    grainy = picture + rng.normal(0, 1, picture.shape) * grain
    return np.asarray(np.clip(grainy, 0, 1), np.float32)


def union(instances: Sequence[Plane], h: int, w: int) -> Plane:
    """Union of all things."""
    total = np.zeros((h, w), np.float32)
    for alpha in instances:
        total = np.maximum(total, alpha)
    return total


def cores(instances: Sequence[Plane], h: int, w: int) -> Plane:
    """The inner part of each thing, which separates things that touch."""
    total = np.zeros((h, w), np.float32)
    for alpha in instances:
        depth = ndimage.distance_transform_edt(alpha > 0.5)
        deepest = depth.max()
        if deepest > 0:
            total = np.maximum(total, (depth > CORE_SHARE * deepest).astype(np.float32))
    return total


def _apart(
    spot: tuple[float, float],
    radius: float,
    other: tuple[tuple[float, float], float],
    view: View,
) -> float:
    """Distance between two things on the table, over the sum of their radii."""
    (row, column), reach = other
    ratio = max(0.35, float(np.sin(np.radians(view.elevation_deg))))
    distance = np.hypot(spot[1] - column, (spot[0] - row) / ratio)
    return float(distance / (radius + reach))


def _bytes(picture: Picture) -> NDArray[np.uint8]:
    return np.clip(np.rint(picture * 255), 0, 255).astype(np.uint8)
