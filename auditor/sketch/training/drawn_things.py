"""Small things that are no arrows but have a shaft or corners: forks, spoons, leaves, crosses."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from auditor.sketch.arrow_features import described
from auditor.sketch.canvas import Mask
from auditor.sketch.training.drawn_arrows import DIAGONAL_PX, FINER, draw_stroke

Floats = NDArray[np.float64]
Lines = list[Floats]

# Sizes in px of the working size, and pens.
SMALLEST, LARGEST = 24.0, 190.0


def thing_examples(n: int, seed: int) -> Floats:
    """Features (2 n or fewer, F) of n drawn things, seen both ways."""
    rng = np.random.default_rng(seed)
    kinds = (_fork, _spoon, _leaf, _glass, _letters, _cross, _polyline)
    features: list[Floats] = []
    for index in range(n):
        mask = _draw(rng, kinds[index % len(kinds)])
        features += [numbers for _, _, numbers in described(mask, DIAGONAL_PX)]
    return np.array(features)


def _draw(rng: np.random.Generator, kind: Callable[[np.random.Generator], Lines]) -> Mask:
    """A thing of unit length, turned, enlarged and drawn by hand."""
    size = float(np.exp(rng.uniform(math.log(SMALLEST), math.log(LARGEST))))
    pen = float(rng.uniform(1.6, max(2.0, min(7.0, 0.12 * size))))
    turn, wobble = rng.uniform(0, 2 * math.pi), float(rng.uniform(0, 0.025))
    side = int(2 * size + 40)
    image = Image.new("L", (FINER * side, FINER * side))
    pencil = ImageDraw.Draw(image)
    c, s = math.cos(turn), math.sin(turn)
    for line in kind(rng):
        placed = line @ np.array([[c, s], [-s, c]]) * size + side / 2
        draw_stroke(pencil, placed, pen, rng, wobble)
    mask = np.asarray(image.resize((side, side), Image.Resampling.BOX)) > 100
    rows, columns = np.nonzero(mask)
    return mask[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]


def _points(*points: tuple[float, float]) -> Floats:
    return np.array(points, dtype=float)


def _arc(centre: tuple[float, float], a: float, b: float, start: float, stop: float) -> Floats:
    t = np.linspace(start, stop, 20)
    return np.stack([centre[0] + a * np.cos(t), centre[1] + b * np.sin(t)], axis=1)


def _fork(rng: np.random.Generator) -> Lines:
    n_tines, width = int(rng.integers(2, 5)), rng.uniform(0.08, 0.25)
    neck, end = rng.uniform(0.05, 0.3), 0.5 - rng.uniform(0, 0.05)
    spread = rng.uniform(0.5, 1.5)
    places = np.linspace(-width / 2, width / 2, n_tines)
    lines = [_points((-0.5, 0), (neck, 0))]
    lines += [_points((neck, 0), (neck + 0.06, y), (end, spread * y)) for y in places]
    if rng.random() < 0.4:
        lines[0] = _points((-0.5, -0.03), (neck, -0.03))
        lines.append(_points((-0.5, 0.03), (neck, 0.03)))
    return lines


def _spoon(rng: np.random.Generator) -> Lines:
    long, wide = rng.uniform(0.12, 0.25), rng.uniform(0.07, 0.16)
    half = rng.choice([0.0, 0.025, 0.05])
    lines = [_arc((0.5 - long, 0), long, wide, 0.1, 2 * math.pi)]
    lines.append(_points((-0.5, -half), (0.5 - 2 * long, -half)))
    if half:
        lines.append(_points((-0.5, half), (0.5 - 2 * long, half)))
    return lines


def _leaf(rng: np.random.Generator) -> Lines:
    wide, start = rng.uniform(0.1, 0.3), rng.uniform(-0.4, 0.1)
    middle, half = (start + 0.5) / 2, (0.5 - start) / 2
    lines = [_arc((middle, 0), half, sign * wide, 0, math.pi) for sign in (-1, 1)]
    lines.append(_points((-0.5, 0), (0.4, 0)))
    for x in np.linspace(start + 0.1, 0.35, int(rng.integers(0, 4))):
        lines.append(_points((x, 0), (x + 0.08, 0.6 * wide)))
        lines.append(_points((x, 0), (x + 0.08, -0.6 * wide)))
    return lines


def _glass(rng: np.random.Generator) -> Lines:
    bowl, width = rng.uniform(0.3, 0.5), rng.uniform(0.15, 0.3)
    foot = rng.uniform(0.1, 0.25)
    return [
        _points((0.5, -width), (0.5 - bowl / 2, -width), (0.5 - bowl, 0),
                (0.5 - bowl / 2, width), (0.5, width), (0.5, -width)),
        _points((0.5 - bowl, 0), (-0.5, 0)),
        _points((-0.5, -foot), (-0.5, foot)),
    ]  # fmt: skip


def _letters(rng: np.random.Generator) -> Lines:
    """One to four joined strokes, as in a short word."""
    lines, x = [], -0.5
    for _ in range(int(rng.integers(1, 5))):
        kind = rng.integers(4)
        h = rng.uniform(0.15, 0.4)
        lines.append((
            _arc((x + 0.1, 0), 0.1, h / 2, rng.uniform(0, 2), rng.uniform(4, 8)),
            _points((x, -h), (x, h / 2), (x + 0.05, -h / 4), (x + 0.15, -h / 4), (x + 0.18, h / 2)),
            _points((x, -h / 2), (x + 0.1, h / 2), (x + 0.2, -h / 2)),
            _points((x + 0.15, -h / 3), (x, -h / 4), (x + 0.02, h / 2), (x + 0.18, h / 2)),
        )[int(kind)])  # fmt: skip
        x += 0.24
    return lines


def _cross(rng: np.random.Generator) -> Lines:
    at, half, lean = rng.uniform(-0.5, 0.5), rng.uniform(0.1, 0.5), rng.uniform(-0.1, 0.1)
    lines = [_points((-0.5, 0), (0.5, 0)), _points((at - lean, -half), (at + lean, half))]
    if rng.random() < 0.3:  # one barb is no arrow
        lines[1] = _points((0.5, 0), (0.5 - rng.uniform(0.1, 0.3), half))
    return lines


def _polyline(rng: np.random.Generator) -> Lines:
    n = int(rng.integers(2, 6))
    points = np.stack([np.linspace(-0.5, 0.5, n), rng.uniform(-0.3, 0.3, n)], axis=1)
    return [points + rng.normal(0, 0.08, points.shape)]
