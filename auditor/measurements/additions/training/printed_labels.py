"""Labels printed on things in the scene, drawn onto photographs: writing that is no addition.

Such print is seen at an angle, is shaded, has the lens's blur and the sensor's noise, and stands on
a ground of its own.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from random import Random

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from auditor.measurements.additions.training.drawn_writing import Script, as_jpeg

# Colours of a label and of its print.
LABELS = (
    ((240, 238, 230), (30, 30, 30)),
    ((30, 30, 35), (240, 235, 225)),
    ((180, 40, 40), (240, 235, 225)),
    ((40, 90, 60), (240, 235, 225)),
    ((225, 200, 140), (30, 30, 30)),
    ((60, 80, 140), (240, 235, 225)),
)
TYPE_PX = 40
LINE_PX = 54
# All by eye: height of a line relative to the shorter side, angles, how much one end is smaller,
# blur in px of a picture 480 px high, noise in code values, shading across the label.
LINE_HEIGHTS = (0.056, 0.126)
FREE_ANGLES_DEG, SMALL_ANGLES_DEG = 25.0, 8.0
PERSPECTIVE = 0.25
BLUR_PX = (0.5, 1.4)
NOISE = (1.5, 5.0)
SHADING = (0.5, 0.4)
BRIGHTNESS = (0.6, 1.0)
QUALITY = 90


def add_label(picture: Image.Image, scripts: Mapping[str, Script], seed: int) -> Image.Image:
    """Draw a printed label into the scene of a picture."""
    random = Random(seed)
    name = random.choice(sorted(scripts))
    lines = [random.choice(scripts[name].lines) for _ in range(random.choice([1, 2, 3]))]
    label = _label(lines, str(random.choice(scripts[name].fonts)), random)
    corners, centre, size = _corners(picture, label, len(lines), random)
    flat = [(0, 0), (label.width, 0), label.size, (0, label.height)]
    placed = label.transform(
        picture.size,
        Image.Transform.PERSPECTIVE,
        tuple(_perspective(corners, flat)),
        Image.Resampling.BICUBIC,
    )
    scale = max(1.0, min(picture.size) / 480)
    soft = placed.filter(ImageFilter.GaussianBlur(random.uniform(*BLUR_PX) * scale))
    drawn = np.asarray(soft).astype(float)
    share = drawn[..., 3:] / 255
    shade = _shade(picture.size, centre, size, random)
    grain = np.random.default_rng(seed).normal(0, random.uniform(*NOISE), drawn[..., :3].shape)
    pixels = np.asarray(picture.convert("RGB")) * (1 - share) + share * (
        drawn[..., :3] * shade + grain
    )
    mixed = Image.fromarray(np.clip(np.rint(pixels), 0, 255).astype(np.uint8))
    return as_jpeg(mixed, QUALITY)


def _label(lines: list[str], path: str, random: Random) -> Image.Image:
    font = ImageFont.truetype(path, TYPE_PX)
    ground, ink = random.choice(LABELS)
    width = int(max(font.getbbox(line)[2] for line in lines)) + TYPE_PX
    label = Image.new("RGBA", (width, len(lines) * LINE_PX + TYPE_PX), (*ground, 255))
    for nth, line in enumerate(lines):
        at = (TYPE_PX // 2, TYPE_PX // 3 + LINE_PX * nth)
        ImageDraw.Draw(label).text(at, line, font=font, fill=(*ink, 255))
    return label


def _corners(
    picture: Image.Image, label: Image.Image, n_lines: int, random: Random
) -> tuple[list[tuple[float, float]], tuple[float, float], tuple[float, float]]:
    """Corners of the label in the picture, its centre and its size, in px."""
    height = min(picture.size) * random.uniform(*LINE_HEIGHTS) * n_lines
    width = height * label.width / label.height
    fit = min(1.0, 0.7 * picture.width / width)
    width, height = fit * width, fit * height
    free = random.uniform(-FREE_ANGLES_DEG, FREE_ANGLES_DEG)
    small = random.uniform(-SMALL_ANGLES_DEG, SMALL_ANGLES_DEG)
    turn = math.radians(random.choice([0.0, 0.0, free, small]))
    x = random.uniform(0.25, 0.75) * picture.width
    y = random.uniform(0.2, 0.8) * picture.height
    end = 1 - random.uniform(0, PERSPECTIVE)
    offsets = [(-end, -end), (1, -1), (1, 1), (-end, end)]
    corners = [
        (
            x + (math.cos(turn) * across * width - math.sin(turn) * down * height) / 2,
            y + (math.sin(turn) * across * width + math.cos(turn) * down * height) / 2,
        )
        for across, down in offsets
    ]
    return corners, (x, y), (width, height)


def _perspective(
    corners: list[tuple[float, float]], flat: list[tuple[int, int]]
) -> NDArray[np.float64]:
    """The eight coefficients that take corners in the picture to those of the flat label."""
    rows, places = [], []
    for (x, y), (u, v) in zip(corners, flat, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y])
        places += [u, v]
    return np.linalg.solve(np.array(rows), np.array(places))


def _shade(
    size: tuple[int, int], centre: tuple[float, float], label: tuple[float, float], random: Random
) -> NDArray[np.float64]:
    """Light on the label: a gradient, (H, W, 1)."""
    rows, columns = np.mgrid[: size[1], : size[0]]
    across = random.uniform(-SHADING[0], SHADING[0]) * (columns - centre[0]) / label[0]
    down = random.uniform(-SHADING[1], SHADING[1]) * (rows - centre[1]) / label[1]
    shade: NDArray[np.float64] = np.clip(1 + across + down, 0.35, 1.3)[..., None]
    return shade * random.uniform(*BRIGHTNESS)
