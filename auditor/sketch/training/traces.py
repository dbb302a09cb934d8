"""What reading a page leaves of it: lines that are not of the drawing, and gaps in the drawing."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy.ndimage import binary_dilation

from auditor.sketch.ink_labels import INPUT_PX

DRAWN_PX = 2 * INPUT_PX  # lines are drawn at twice the size and averaged
Generator = np.random.Generator


def left_over(size: tuple[float, float], width: float, rng: Generator) -> NDArray[np.float32]:
    """Printed lines that were not taken away, paper's edges, neighbours, construction lines."""
    image = Image.new("L", (DRAWN_PX, DRAWN_PX))
    draw = ImageDraw.Draw(image)
    kind = rng.random()
    tone = int(rng.uniform(60, 230))
    if kind < 0.16:
        _printed(draw, tone, rng)
    elif kind < 0.3:
        for _ in range(int(rng.integers(1, 4))):
            a, b = rng.uniform(0, DRAWN_PX, 2)
            tilt = rng.normal(0, 0.06) * DRAWN_PX
            ends = ((a, 0, a + tilt, DRAWN_PX), (0, a, DRAWN_PX, a + tilt))
            far = min(a, DRAWN_PX - a) < (DRAWN_PX - max(size)) / 2
            thick = int(rng.integers(1, 14)) if far else round(width * 0.8)
            if far or rng.random() < 0.3:
                draw.line(ends[int(b) % 2], fill=tone, width=max(1, thick))
    elif kind < 0.36:
        corner = (DRAWN_PX - np.array(size)) / 2
        for _ in range(int(rng.integers(1, 4))):
            x, y = corner + rng.uniform(0.1, 0.9, 2) * size
            upright = rng.random() < 0.5
            reach = rng.uniform(0.3, 1.1) * DRAWN_PX / 2
            line = (x, y - reach, x, y + reach) if upright else (x - reach, y, x + reach, y)
            draw.line(line, fill=tone // 2, width=max(1, round(width * 0.5)))
    elif kind < 0.46:
        left = int(rng.integers(2)) * (DRAWN_PX - 40)
        draw.line((left + 20, 60, left + 20, DRAWN_PX - 80), fill=255, width=round(width))
    elif kind < 0.66:
        for _ in range(int(rng.integers(1, 4))):
            _neighbours_end(draw, max(1, round(width)), rng)
    lines: NDArray[np.float32] = np.asarray(image, np.float32) / np.float32(255)
    return lines


def _neighbours_end(draw: ImageDraw.ImageDraw, width: int, rng: Generator) -> None:
    """The end of something outside: a short line, straight or bent, that the canvas cuts off."""
    along = rng.uniform(0, DRAWN_PX)
    ends = [(along, rng.uniform(-6, 4))]
    for _ in range(int(rng.integers(1, 3))):
        ends.append((ends[-1][0] + rng.normal(0, 25), ends[-1][1] + rng.uniform(4, 26)))
    side = int(rng.integers(4))
    if side > 1:
        ends = [(x, DRAWN_PX - y) for x, y in ends]
    draw.line([(y, x) if side % 2 else (x, y) for x, y in ends], fill=255, width=width)


def _printed(draw: ImageDraw.ImageDraw, tone: int, rng: Generator) -> None:
    period, shift = rng.uniform(14, 60), rng.uniform(0, 60, 2)
    tilt, kept = rng.normal(0, 0.02), rng.uniform(0.15, 1.0)
    is_ruled = rng.random() < 0.3
    for start in np.arange(-period, DRAWN_PX + period, period):
        for upright in (False,) if is_ruled else (False, True):
            for part in range(0, DRAWN_PX, 40):
                if rng.random() > kept:
                    continue
                a = (part, start + shift[0] + tilt * part)
                b = (part + 40, start + shift[0] + tilt * (part + 40))
                draw.line((*a[::-1], *b[::-1]) if upright else (*a, *b), fill=tone, width=1)


def worn(ink: NDArray[np.float32], rng: Generator) -> NDArray[np.float32]:
    """What cleaning the page may have done to the ink."""
    left = ink.copy()
    if rng.random() < 0.3:  # printed lines taken away, and strokes with them
        period, thick = int(rng.integers(14, 50)), int(rng.integers(1, 3))
        gone = np.zeros(ink.shape, bool)
        for axis in (0, 1) if rng.random() < 0.6 else (int(rng.integers(2)),):
            rows = (np.arange(DRAWN_PX) + int(rng.integers(period))) % period < thick
            gone |= rows[:, None] if axis == 0 else rows[None, :]
        left[gone & (rng.random(ink.shape) < rng.uniform(0.2, 0.9))] = 0
    if rng.random() < 0.3:
        for _ in range(int(rng.integers(1, 8))):
            y, x = rng.integers(0, DRAWN_PX, 2)
            r = int(rng.integers(3, 14))
            left[max(0, y - r) : y + r, max(0, x - r) : x + r] = 0
    if rng.random() < 0.4:
        specks = rng.integers(0, DRAWN_PX, (int(rng.integers(3, 60)), 2))
        for y, x in specks:
            left[y : y + int(rng.integers(1, 4)), x : x + int(rng.integers(1, 4))] = 0.6
    kind = rng.random()
    if kind < 0.15:
        left = left * (rng.random(ink.shape) > rng.uniform(0.05, 0.35))
    elif kind < 0.3:
        left = np.where(binary_dilation(left > 0), np.maximum(left, 0.7), 0).astype(np.float32)
    return left.astype(np.float32)
