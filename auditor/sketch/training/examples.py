"""Frames with the label of all that is drawn, to train with.

Pages are composed by `fixtures.sketching`, drawn flat, and each frame is brought to the canvas that
`auditor.sketch` reads: the frame with a margin of a quarter of its longer side. Perspective,
printed lines and shadows are gone there; what they leave behind (gaps, broken and thickened lines,
specks, a corner found a little off) is imitated.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont
from scipy.ndimage import binary_dilation, distance_transform_edt

from auditor.sketch.ink_labels import CHANNELS, INPUT_PX, MARGIN, OUTPUT_PX
from fixtures.sketching import page as pages
from fixtures.sketching.frame import Frame, Mark
from fixtures.sketching.hand import Points
from fixtures.sketching.outline import Outline
from fixtures.sketching.plane import UNIT_SQUARE, mapped, perspective
from fixtures.sketching.source import Source
from fixtures.sketching.strokes import fitted

DRAWN_PX = 2 * INPUT_PX  # lines are drawn at twice the size and averaged
CANVAS = 1 + 2 * MARGIN  # sides of the canvas over the longer side of the frame
CORE_SHARE = 0.45  # of a thing's inner radius: its core, apart from its neighbours'
Mask = NDArray[np.bool_]
Generator = np.random.Generator
Bend = Callable[[Points], Points]


@dataclass(frozen=True, slots=True, eq=False)
class Example:
    """One frame.

    Attributes
    ----------
    ink : (INPUT_PX, INPUT_PX, 3) uint8 array
        As the network sees it.
    labels : (OUTPUT_PX, OUTPUT_PX, n) uint8 array
        `CHANNELS`, 255 for yes.
    """

    ink: NDArray[np.uint8]
    labels: NDArray[np.uint8]


def examples_of(source: Source, rng: Generator) -> list[Example]:
    """The frames of one random page."""
    try:
        page = pages.compose(source, rng, tablet=bool(rng.random() < 0.3))
    except RuntimeError:
        return []  # a subject that fits nowhere
    notes = [mark for mark in page.marks if mark.role == "note"]
    return [_example(frame, notes, rng) for frame in page.frames]


def _example(frame: Frame, notes: list[Mark], rng: Generator) -> Example:
    to_px, size = _placing(frame, rng)
    width = math.exp(rng.uniform(math.log(1.4), math.log(9.0))) * DRAWN_PX / 640
    ink = np.zeros((DRAWN_PX, DRAWN_PX), np.float32)
    own = [mark for mark in frame.marks if mark.role != "note"]
    bend = _bend(rng)
    layers: dict[str, Mask] = {}
    is_sketchy, is_dashed = rng.random() < 0.12, rng.random() < 0.05
    for mark in (*own, *notes):
        points = bend(mapped(to_px, mark.points))
        thick = max(1.0, width * mark.width * rng.uniform(0.9, 1.1))
        drawn = _line(points, thick, rng, is_dashed=is_dashed and mark.role == "thing")
        if is_sketchy and mark.role in ("thing", "border", "arrow"):
            drawn |= _line(_again(points, rng), thick, rng)
        ink = np.maximum(ink, drawn * mark.darkness * rng.uniform(0.8, 1))
        layers[mark.role] = layers.get(mark.role, np.zeros_like(drawn, bool)) | drawn
    if rng.random() < 0.12:
        ink, layers = _with_print(ink, layers, size, rng)
    ink = np.maximum(ink, _left_over(size, width, rng))
    ink = _worn(ink, rng)
    labels = _labels(frame, layers, to_px, bend)
    return Example(as_input(ink, size, rng), labels)


def _placing(frame: Frame, rng: Generator) -> tuple[NDArray[np.float64], tuple[float, float]]:
    """From mm to px of the canvas, and the frame's width and height in px."""
    longer = DRAWN_PX / CANVAS
    ratio = frame.aspect_ratio * math.exp(rng.normal(0, 0.015))
    size = (longer, longer / ratio) if ratio > 1 else (longer * ratio, longer)
    corner = (DRAWN_PX - np.array(size)) / 2
    target = UNIT_SQUARE * size + corner + rng.normal(0, 0.004 * longer, (4, 2))
    return perspective(frame.border.corners, target), size


def _bend(rng: Generator) -> Bend:
    """A smooth small displacement, the same for all that is drawn."""
    amplitude = rng.uniform(0, 0.006) * DRAWN_PX
    phase, period = rng.uniform(0, 2 * np.pi, 4), rng.uniform(0.4, 1.5, 4) * DRAWN_PX

    def bend(points: Points) -> Points:
        x, y = points.T
        return np.stack(
            [
                x + amplitude * np.sin(2 * np.pi * y / period[0] + phase[0]),
                y + amplitude * np.sin(2 * np.pi * x / period[1] + phase[1]),
            ],
            axis=1,
        )

    return bend


def _again(points: Points, rng: Generator) -> Points:
    """The same line drawn a second time, not quite there."""
    middle = points.mean(axis=0)
    again: Points = (points - middle) * (1 + rng.normal(0, 0.02, 2)) + middle
    return again + rng.normal(0, 2.0, 2)


def _left_over(size: tuple[float, float], width: float, rng: Generator) -> NDArray[np.float32]:
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
    left_over: NDArray[np.float32] = np.asarray(image, np.float32) / np.float32(255)
    return left_over


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


def _line(points: Points, width: float, rng: Generator, *, is_dashed: bool = False) -> Mask:
    image = Image.new("L", (DRAWN_PX, DRAWN_PX))
    draw = ImageDraw.Draw(image)
    if is_dashed:
        for first in range(0, len(points) - 2, 6):
            part = [tuple(p) for p in points[first : first + 4]]
            draw.line(part, fill=255, width=max(1, round(width)))
        return np.asarray(image) > 0
    drawn = points
    if rng.random() < 0.05 and len(points) > 12:  # a stretch that was not found
        first = int(rng.integers(len(points) - 8))
        draw.line([tuple(p) for p in points[:first]], 255, round(width))
        drawn = points[first + int(rng.integers(3, 8)) :]
    draw.line([tuple(p) for p in drawn], fill=255, width=max(1, round(width)), joint="curve")
    return np.asarray(image) > 0


def _with_print(
    ink: NDArray[np.float32], layers: dict[str, Mask], size: tuple[float, float], rng: Generator
) -> tuple[NDArray[np.float32], dict[str, Mask]]:
    """Words in print at a few places, as on a drawn plan."""
    image = Image.new("L", (DRAWN_PX, DRAWN_PX))
    draw = ImageDraw.Draw(image)
    font = ImageFont.load_default(int(rng.integers(12, 26)))
    words = ("subject", "honey jar", "cloth", "tea bowl", "spoon", "leaves", "back left", "4:5")
    corner = (DRAWN_PX - np.array(size)) / 2
    for _ in range(int(rng.integers(1, 4))):
        at = corner + rng.uniform(0, 0.85, 2) * size
        box = (slice(int(at[1]), int(at[1]) + 26), slice(int(at[0]), int(at[0]) + 90))
        if not (ink[box] > 0).any():
            draw.text(tuple(at), str(rng.choice(words)), fill=255, font=font)
    drawn = np.asarray(image) > 100
    layers["note"] = layers.get("note", np.zeros_like(drawn)) | drawn
    return np.maximum(ink, drawn.astype(np.float32)), layers


def _worn(ink: NDArray[np.float32], rng: Generator) -> NDArray[np.float32]:
    """What cleaning the page may have done to the ink."""
    worn = ink.copy()
    if rng.random() < 0.3:  # printed lines taken away, and strokes with them
        period, thick = int(rng.integers(14, 50)), int(rng.integers(1, 3))
        gone = np.zeros(ink.shape, bool)
        for axis in (0, 1) if rng.random() < 0.6 else (int(rng.integers(2)),):
            rows = (np.arange(DRAWN_PX) + int(rng.integers(period))) % period < thick
            gone |= rows[:, None] if axis == 0 else rows[None, :]
        worn[gone & (rng.random(ink.shape) < rng.uniform(0.2, 0.9))] = 0
    if rng.random() < 0.3:
        for _ in range(int(rng.integers(1, 8))):
            y, x = rng.integers(0, DRAWN_PX, 2)
            r = int(rng.integers(3, 14))
            worn[max(0, y - r) : y + r, max(0, x - r) : x + r] = 0
    if rng.random() < 0.4:
        specks = rng.integers(0, DRAWN_PX, (int(rng.integers(3, 60)), 2))
        for y, x in specks:
            worn[y : y + int(rng.integers(1, 4)), x : x + int(rng.integers(1, 4))] = 0.6
    kind = rng.random()
    if kind < 0.15:
        worn = worn * (rng.random(ink.shape) > rng.uniform(0.05, 0.35))
    elif kind < 0.3:
        worn = np.where(binary_dilation(worn > 0), np.maximum(worn, 0.7), 0).astype(np.float32)
    return worn.astype(np.float32)


def as_input(
    ink: NDArray[np.float32], size: tuple[float, float], rng: Generator
) -> NDArray[np.uint8]:
    """What the network sees: ink, its darkness, and where the frame is."""
    darkest = float(np.percentile(ink[ink > 0], 95)) if (ink > 0).any() else 1.0
    small = (ink > 0).astype(np.float32).reshape(INPUT_PX, 2, INPUT_PX, 2).mean(axis=(1, 3))
    if rng.random() < 0.25:  # a pen that has one darkness
        darkest = 1e-3
    tone = (ink / darkest).clip(0, 1).reshape(INPUT_PX, 2, INPUT_PX, 2).max(axis=(1, 3))
    inside = np.zeros((INPUT_PX, INPUT_PX), np.float32)
    left, top = ((INPUT_PX - np.array(size) / 2) / 2).round().astype(int)
    inside[top : INPUT_PX - top, left : INPUT_PX - left] = 1
    return (np.stack([small, tone, inside], axis=2) * 255).round().astype(np.uint8)


def _labels(
    frame: Frame, layers: dict[str, Mask], to_px: NDArray[np.float64], bend: Bend
) -> NDArray[np.uint8]:
    out = {name: np.zeros((OUTPUT_PX, OUTPUT_PX), np.uint8) for name in CHANNELS}

    longer = OUTPUT_PX / CANVAS
    ratio = frame.aspect_ratio
    width, height = (longer, longer / ratio) if ratio > 1 else (longer * ratio, longer)
    left, top = round((OUTPUT_PX - width) / 2), round((OUTPUT_PX - height) / 2)
    inside = np.zeros((OUTPUT_PX, OUTPUT_PX), bool)
    inside[top : OUTPUT_PX - top, left : OUTPUT_PX - left] = True

    def put(name: str, mask: Mask, value: int = 255) -> None:
        out[name][mask] = value

    for thing in frame.things:
        mask = _filled(thing.outline, to_px, bend) & inside
        if not mask.any():
            continue
        put("subject" if thing.is_subject else "supporting", mask)
        put("core", _core(mask))
        if thing.shape in ("oval", "side view", "cloth"):
            put(thing.shape, mask)
        if thing.squash is not None:
            put("shows angle", mask)
            put("squash", mask, round(255 * thing.squash))
    technique = frame.truth["technique"]
    if technique is not None and "grid" in layers:
        put(f"grid of {technique}", _small(layers["grid"]))
    if "arrow" in layers:
        mask = binary_dilation(_small(layers["arrow"]))
        put("arrow", mask)
        angle = math.radians(frame.truth["light_clock"] * 30)
        put("to light x", mask, round(127.5 + 127.5 * math.sin(angle)))
        put("to light y", mask, round(127.5 - 127.5 * math.cos(angle)))
    if "note" in layers:
        put("notes", binary_dilation(_small(layers["note"]), iterations=2))
    if "hatching" in layers:
        put("hatching", binary_dilation(_small(layers["hatching"]), iterations=5))
    return np.stack([out[name] for name in CHANNELS], axis=2)


def _small(mask: Mask) -> Mask:
    n = DRAWN_PX // OUTPUT_PX
    small: Mask = mask.reshape(OUTPUT_PX, n, OUTPUT_PX, n).max(axis=(1, 3))
    return small


def _filled(outline: Outline, to_px: NDArray[np.float64], bend: Bend) -> Mask:
    image = Image.new("L", (OUTPUT_PX, OUTPUT_PX))
    draw = ImageDraw.Draw(image)
    n = DRAWN_PX / OUTPUT_PX
    for polygon in outline.polygons:
        points = bend(mapped(to_px, polygon)) / n
        if len(points) > 2:
            draw.polygon([tuple(p) for p in points], fill=255)
    return np.asarray(image) > 0


def _core(mask: Mask) -> Mask:
    """The inner part of a filled outline, apart from that of its neighbour."""
    depth = distance_transform_edt(np.pad(mask, 1))[1:-1, 1:-1]
    return np.asarray(depth > max(0.5, CORE_SHARE * float(depth.max())))


class Varied:
    """A source whose drawings are stretched, slanted and mirrored at random."""

    def __init__(self, source: Source) -> None:
        self._source = source

    def pick(self, word: str, rng: Generator) -> tuple[Points, ...]:
        """One drawing of a word."""
        stretch = np.exp(rng.normal(0, 0.2, 2)) * [rng.choice([-1.0, 1.0]), 1.0]
        slant = rng.normal(0, 0.12)
        matrix = np.array([[stretch[0], slant], [0.0, stretch[1]]])
        phase, pull = rng.uniform(0, 2 * np.pi, 2), rng.uniform(0, 0.06)

        def varied(stroke: Points) -> Points:
            bent: Points = (stroke + pull * np.sin(5 * stroke[:, ::-1] + phase)) @ matrix.T
            return bent

        return tuple(fitted([varied(stroke) for stroke in self._source.pick(word, rng)]))

    def circle(self, rng: Generator) -> Points | None:
        """An outline drawn as a circle."""
        return self._source.circle(rng)
