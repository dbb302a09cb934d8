"""Arrows as hands draw them: shafts that bend, heads of two barbs or filled, pens of any width."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy import ndimage

from auditor.sketch.arrow_features import EIGHT, JOIN_PX, described
from auditor.sketch.canvas import Mask

Floats = NDArray[np.float64]

FINER = 2
DIAGONAL_PX = 600.0
LEAST_WHOLE = 0.75  # of the ink that hangs together
LEAST_COSINE = 0.93  # of the longer axis with the shaft: broader heads turn it


def arrow_examples(n: int, seed: int) -> tuple[Floats, Floats]:
    """Features of at least n arrows seen both ways, and whether they point the right way.

    Returns
    -------
    features : (M, F) float array
    right : (M,) float array
        1 or 0.
    """
    rng = np.random.default_rng(seed)
    features: list[Floats] = []
    right: list[float] = []
    while len(right) < 2 * n:
        mask, way = _draw(rng)
        grown, n_pieces = ndimage.label(
            ndimage.binary_dilation(mask, EIGHT, iterations=JOIN_PX), EIGHT
        )
        if n_pieces == 0:
            continue
        pieces = grown * mask
        largest = pieces == int(np.bincount(pieces.ravel())[1:].argmax()) + 1
        if largest.sum() < LEAST_WHOLE * mask.sum():
            continue
        rows, columns = np.nonzero(largest)
        cut = largest[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
        for tip, tail, numbers in described(cut, DIAGONAL_PX):
            cosine = float((tip - tail) @ way) / math.dist(tip, tail)
            if abs(cosine) > LEAST_COSINE:
                features.append(numbers)
                right.append(float(cosine > 0))
    return np.array(features), np.array(right)


def _draw(rng: np.random.Generator) -> tuple[Mask, Floats]:
    """An arrow's ink and the unit vector along which it points."""
    length = float(np.exp(rng.uniform(math.log(26), math.log(130))))
    pen = float(rng.uniform(1.6, max(2.0, min(7.0, 0.12 * length))))
    side = int(2 * length + 40)
    image = Image.new("L", (FINER * side, FINER * side))
    pencil = ImageDraw.Draw(image)
    angle = rng.uniform(0, 2 * math.pi)
    way = np.array([math.cos(angle), math.sin(angle)])
    across = np.array([-way[1], way[0]])
    middle = np.full(2, side / 2)
    tip, tail = middle + way * length / 2, middle - way * length / 2
    bend = middle + across * rng.normal(0, 0.05) * length
    t = np.linspace(0, 1, 12)[:, None]
    shaft = (1 - t) ** 2 * tail + 2 * t * (1 - t) * bend + t**2 * tip
    wobble = float(rng.uniform(0, 0.025))
    draw_stroke(pencil, shaft, pen, rng, wobble)
    if rng.random() < 0.15:  # drawn over again
        draw_stroke(pencil, shaft + rng.normal(0, 0.02 * length, 2), pen, rng, wobble)
    _head(pencil, rng, tip, way, length, pen, wobble)
    small = image.resize((side, side), Image.Resampling.BOX)
    mask = np.asarray(small) > 100
    if rng.random() < 0.35:
        mask = mask & ~_taken_line(rng, mask.shape, middle + way * rng.uniform(-0.5, 0.5) * length)
    return mask, way


def _head(
    pencil: ImageDraw.ImageDraw,
    rng: np.random.Generator,
    tip: Floats,
    way: Floats,
    length: float,
    pen: float,
    wobble: float,
) -> None:
    kind = rng.choice(["barbs", "filled", "outline", "joined"], p=[0.75, 0.1, 0.1, 0.05])
    spread = math.radians(rng.uniform(16, 58))
    reach = rng.uniform(0.17, 0.6) * length * min(1.0, 0.6 + 20 / length)
    across = np.array([-way[1], way[0]])
    ends = []
    for sign in (1, -1):
        turn = spread + math.radians(rng.normal(0, 7))
        own = reach * rng.uniform(0.75, 1.25)
        ends.append(tip - own * (math.cos(turn) * way + sign * math.sin(turn) * across))
    if kind == "filled":
        pencil.polygon([tuple(FINER * p) for p in (tip, *ends)], fill=255)
    elif kind == "barbs":
        for end in ends:
            start = tip + rng.normal(0, 0.03 * length, 2)
            draw_stroke(pencil, np.stack([start, end]), pen, rng, wobble)
    else:
        corners = [ends[0], tip + rng.normal(0, 0.02 * length, 2), ends[1]]
        closing = [ends[0]] if kind == "outline" else []
        draw_stroke(pencil, np.stack(corners + closing), pen, rng, wobble)


def draw_stroke(
    pencil: ImageDraw.ImageDraw, points: Floats, pen: float, rng: np.random.Generator, wobble: float
) -> None:
    """Draw a polyline (N, 2) as a hand does: bent by slow waves of a share of its length."""
    at = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    n = max(8, int(at[-1] / 3))
    even = np.linspace(0, at[-1], n)
    dense = np.stack([np.interp(even, at, points[:, i]) for i in (0, 1)], axis=1)
    phase = np.linspace(0, math.pi, n)[:, None]
    for k in (1, 2, 3):
        size = rng.normal(0, wobble * at[-1] / k, 2)
        dense = dense + size * np.sin(k * phase + rng.uniform(0, 6, 2))
    width = max(2, round(FINER * pen))
    pencil.line([tuple(FINER * p) for p in dense], fill=255, width=width, joint="curve")


def _taken_line(rng: np.random.Generator, shape: tuple[int, ...], through: Floats) -> Mask:
    """A band where a line of a grid was taken out of the ink."""
    y, x = np.indices(shape)
    turn = rng.uniform(0, math.pi)
    off = (x - through[0]) * math.cos(turn) + (y - through[1]) * math.sin(turn)
    return np.asarray(np.abs(off) < rng.uniform(1, 3.2))
