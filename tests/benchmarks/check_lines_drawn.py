"""Drawn arrangements, long things and lines with known truth."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter
from scipy.ndimage import label
from scipy.spatial import ConvexHull
from skimage.draw import disk, polygon

from auditor.geometry import Box, Ellipse, Point, Region, diagonal_px, fold_angle_deg

FRAMES = ((600, 400), (400, 600), (400, 500), (500, 500), (640, 480))
GROUNDS = ((70, 50, 40), (120, 140, 120), (200, 190, 170), (90, 100, 130))
WHITE = 235  # least of the three channels from which a pixel of a cut-out is not food
LEAST_ELONGATION = 2.3  # length over width of a long thing
WOODS = ((150, 105, 60), (95, 60, 40), (205, 170, 120), (60, 60, 64))


@dataclass(frozen=True)
class Arrangement:
    """Things in a frame and the angle of their line; None for things placed at random."""

    frame: tuple[int, int]
    subject: Region
    elements: list[Region]
    angle_deg: float | None


def thing(x: float, y: float, area: float, frame: tuple[int, int]) -> Region:
    """A square thing, from px and a share of the frame."""
    half = math.sqrt(area * frame[0] * frame[1]) / 2
    box = Box(
        (x - half) / frame[0], (y - half) / frame[1], (x + half) / frame[0], (y + half) / frame[1]
    )
    return Region(Point(x / frame[0], y / frame[1]), box, area)


def arrangement(
    random: np.random.Generator, n_in_line: int, n_strays: int, *, even: bool, smaller: bool
) -> Arrangement:
    """Things on a slanted line, 0.012 of the diagonal off it, and strays anywhere.

    `even` spaces the things on the line evenly but for an eighth of a step; `smaller` makes the
    strays smaller than everything on the line.
    """
    frame = FRAMES[random.integers(len(FRAMES))]
    size, diagonal = np.array(frame), math.hypot(*frame)
    while True:
        angle_deg = float(random.uniform(15, 75) * random.choice([-1, 1]))
        turn = math.radians(angle_deg)
        direction = np.array([math.cos(turn), -math.sin(turn)])
        across = np.array([direction[1], -direction[0]])
        if even:
            step = 1 / (n_in_line - 1)
            along = np.linspace(-0.5, 0.5, n_in_line) + random.normal(0, step / 8, n_in_line)
        else:
            inner = random.uniform(-0.5, 0.5, n_in_line - 2)
            along = np.concatenate([[-0.5, 0.5], inner])
        along = along * random.uniform(0.5, 0.8) * diagonal
        places = (
            size * random.uniform(0.4, 0.6, 2)
            + along[:, None] * direction
            + random.normal(0, 0.012 * diagonal, (n_in_line, 1)) * across
        )
        fits = ((places > 0.05 * size) & (places < 0.95 * size)).all()
        if fits and np.diff(np.sort(along)).min() > 0.08 * diagonal:
            break
    areas = _areas(random, n_in_line)
    subject = int(random.integers(n_in_line))
    areas[subject] = random.uniform(0.06, 0.2)
    strays = _scattered(random, frame, n_strays, places)
    shares = random.uniform(0.3, 0.8, n_strays) * areas.min()
    stray_areas = np.maximum(shares, 0.0016) if smaller else _areas(random, n_strays)
    things = [
        thing(*place, float(area), frame)
        for place, area in zip([*places, *strays], [*areas, *stray_areas], strict=True)
    ]
    return Arrangement(frame, things.pop(subject), things, angle_deg)


def scattered(random: np.random.Generator, n_things: int, *, alike: bool) -> Arrangement:
    """Things placed at random, all of one size or a large subject and smaller elements."""
    frame = FRAMES[random.integers(len(FRAMES))]
    places = _scattered(random, frame, n_things, [])
    areas = np.full(n_things, 0.02) if alike else _areas(random, n_things)
    if not alike:
        areas[0] = random.uniform(0.06, 0.2)
    subject, *elements = (
        thing(*place, float(area), frame) for place, area in zip(places, areas, strict=True)
    )
    return Arrangement(frame, subject, elements, None)


def _areas(random: np.random.Generator, n_things: int) -> NDArray[np.float64]:
    return np.exp(random.uniform(math.log(0.006), math.log(0.06), n_things))


def _scattered(
    random: np.random.Generator,
    frame: tuple[int, int],
    n_things: int,
    taken: Sequence[NDArray[np.float64]] | NDArray[np.float64],
) -> list[NDArray[np.float64]]:
    """Places at least a tenth of the diagonal from all others."""
    places = list(taken)
    while len(places) < len(taken) + n_things:
        at = random.uniform(0.08, 0.92, 2) * frame
        if all(np.linalg.norm(at - other) > 0.1 * math.hypot(*frame) for other in places):
            places.append(at)
    return places[len(taken) :]


def long_cutouts(folder: Path) -> Iterator[tuple[str, Image.Image, NDArray[np.bool_], float]]:
    """Name, picture, mask and angle of every cut-out in one long piece, in name order.

    The angle is that of the smallest rectangle around the mask.
    """
    for path in sorted(folder.glob("*.jpg")):
        picture = Image.open(path).convert("RGB")
        mask = np.asarray(picture).min(axis=2) < WHITE
        labels, _ = label(mask)
        sizes = np.bincount(labels.ravel())[1:]
        if sizes.max() > 0.95 * sizes.sum():
            angle_deg, elongation = smallest_rectangle(labels == sizes.argmax() + 1)
            if elongation >= LEAST_ELONGATION:
                yield path.stem, picture, mask, angle_deg


def smallest_rectangle(mask: NDArray[np.bool_]) -> tuple[float, float]:
    """Angle in degrees and elongation of the smallest rectangle around a mask."""
    rows, columns = np.nonzero(mask)
    points = np.stack([columns, rows], axis=1).astype(float)
    hull = points[ConvexHull(points).vertices]
    best = (math.inf, 0.0, 1.0)
    for edge in np.roll(hull, -1, axis=0) - hull:
        along = edge / np.linalg.norm(edge)
        extents = np.ptp(hull @ along), np.ptp(hull @ np.array([-along[1], along[0]]))
        long, short = max(extents), min(extents)
        turn = math.degrees(math.atan2(-along[1], along[0])) + (
            90 if extents[1] > extents[0] else 0
        )
        best = min(best, (float(long * short), fold_angle_deg(turn), float(long / (short + 1e-9))))
    return best[1], best[2]


def ground(random: np.random.Generator, frame: tuple[int, int]) -> Image.Image:
    """An uneven surface lit from the right."""
    width, height = frame
    spots = random.integers(-128, 128, (12, 16)).astype(np.float32)
    uneven = np.asarray(Image.fromarray(spots).resize(frame, Image.Resampling.BICUBIC))
    lit = np.linspace(-18, 18, width)[np.newaxis, :] + random.normal(0, 3, (height, width))
    base = np.array(GROUNDS[random.integers(len(GROUNDS))])
    pixels = base + (0.12 * uneven + lit)[..., np.newaxis]
    return Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8))


def lay(
    random: np.random.Generator, picture: Image.Image, mask: NDArray[np.bool_], own_deg: float
) -> tuple[Image.Image, float]:
    """A thing laid on a surface at a slant, with a soft shadow, and the angle of its axis."""
    frame = FRAMES[random.integers(len(FRAMES))]
    angle_deg = float(random.uniform(15, 75) * random.choice([-1, 1]))
    scale = random.uniform(0.4, 0.65) * math.hypot(*frame) / max(picture.size)
    size = tuple(round(scale * side) for side in picture.size)
    turn = angle_deg - own_deg
    laid = picture.resize(size, Image.Resampling.BICUBIC)
    laid = laid.rotate(turn, Image.Resampling.BICUBIC, expand=True)
    cut = Image.fromarray(mask.astype(np.uint8) * 255).resize(size, Image.Resampling.BILINEAR)
    cut = cut.filter(ImageFilter.MinFilter(3)).rotate(turn, Image.Resampling.BICUBIC, expand=True)
    table = ground(random, frame)
    x, y = (
        round(random.uniform(0.42, 0.58) * side - own / 2)
        for side, own in zip(frame, laid.size, strict=True)
    )
    shadow = Image.new("L", frame)
    shadow.paste(cut.point(lambda value: value // 2), (x + 5, y + 6))
    table.paste((20, 15, 10), mask=shadow.filter(ImageFilter.GaussianBlur(5)))
    table.paste(laid, (x, y), cut)
    return table, angle_deg


def board(random: np.random.Generator) -> tuple[Image.Image, float]:
    """An oblong board with slices on it, and its angle."""
    long, short = 170, int(random.uniform(45, 75))
    picture = Image.new("RGB", (long, short), WOODS[random.integers(len(WOODS))])
    pen = ImageDraw.Draw(picture)
    for x in range(30, long - 20, 40):
        pen.ellipse((x - 14, short / 2 - 14, x + 14, short / 2 + 14), fill=(225, 180, 110))
    return lay(random, picture, np.ones((short, long), np.bool_), 0.0)


def dish_with_bars(
    random: np.random.Generator, contrast: float, width_px: float, n_bars: int, *, at_random: bool
) -> tuple[NDArray[np.uint8], NDArray[np.bool_], Ellipse]:
    """Pixels, mask and rim of a dish in a frame of 900 by 600 with bars that end at it.

    The bars are `contrast` of 255 lighter or darker than the table; `at_random` puts them anywhere.
    """
    frame = (900, 600)
    short, grey = min(frame), random.uniform(90, 170)
    middle, radius = random.uniform([0.35, 0.4], [0.65, 0.6]) * frame, 0.2 * short
    pixels = np.full((frame[1], frame[0]), grey)
    for turn in _apart(random, n_bars):
        out = np.array([math.cos(turn), -math.sin(turn)])
        length = random.uniform(0.3, 0.5) * short
        start = middle + radius * out
        if at_random:
            start = random.uniform(0.1, 0.9, 2) * frame - out * length / 2
        across = np.array([out[1], -out[0]]) * width_px / 2
        end = start + length * out
        corners = np.array([start + across, end + across, end - across, start - across])
        rows, columns = polygon(corners[:, 1], corners[:, 0], shape=pixels.shape)
        pixels[rows, columns] = grey + contrast * random.choice([-1, 1])
    dish = np.zeros(pixels.shape, np.bool_)
    dish[disk((middle[1], middle[0]), radius, shape=pixels.shape)] = True
    colours = np.repeat(pixels[:, :, np.newaxis], 3, axis=2)
    colours[dish] = (200, 120, 60)
    colours += random.normal(0, 3, colours.shape)
    at = Point(float(middle[0]) / frame[0], float(middle[1]) / frame[1])
    rim = Ellipse(at, (radius / diagonal_px(*frame),) * 2, 0.0)
    return np.clip(colours, 0, 255).astype(np.uint8), dish, rim


def _apart(random: np.random.Generator, n_turns: int) -> list[float]:
    """Directions in radians, at least 30 degrees apart and not level or upright."""
    turns: list[float] = []
    while len(turns) < n_turns:
        turn = float(random.uniform(0, 360))
        is_apart = all(abs((turn - other + 180) % 360 - 180) > 30 for other in turns)
        if is_apart and min(turn % 90, 90 - turn % 90) > 14:
            turns.append(turn)
    return [math.radians(turn) for turn in turns]
