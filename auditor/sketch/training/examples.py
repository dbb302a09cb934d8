"""Frames with the label of all that is drawn, to train with.

Pages are composed by `fixtures.sketching`, drawn flat, and each frame is brought to the canvas that
`auditor.sketch` reads: the frame with a margin of a quarter of its longer side. Perspective,
printed lines and shadows are gone there; what they leave behind (gaps, broken and thickened lines,
specks, a corner found a little off) is imitated.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont
from scipy.ndimage import binary_closing, binary_dilation, distance_transform_edt

from auditor.sketch.ink_labels import CHANNELS, INPUT_PX, MARGIN, OUTPUT_PX
from auditor.sketch.training.traces import DRAWN_PX, left_over, worn
from fixtures.sketching import page as pages
from fixtures.sketching.frame import Frame, Mark
from fixtures.sketching.hand import Points
from fixtures.sketching.outline import Outline
from fixtures.sketching.plane import UNIT_SQUARE, mapped, perspective
from fixtures.sketching.source import Source

CANVAS = 1 + 2 * MARGIN  # sides of the canvas over the longer side of the frame
HATCH_REACH_PX = 5  # in the labels: lines of a hatched area are up to twice this apart
CORE_SHARE = 0.45  # of a thing's inner radius: its core, apart from its neighbours'
# A thing is under another if it is covered in part; its core goes all around, in one piece.
MOST_UNCOVERED, UNDER_CORE_SHARE = 0.95, 0.15
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
    return [example_of(frame, notes, rng) for frame in page.frames]


def example_of(frame: Frame, notes: Sequence[Mark], rng: Generator) -> Example:
    """A frame as the network sees it, with its labels."""
    to_px, size = _placing(frame, rng)
    width = math.exp(rng.uniform(math.log(1.4), math.log(11.0))) * DRAWN_PX / 640
    ink = np.zeros((DRAWN_PX, DRAWN_PX), np.float32)
    own = [mark for mark in frame.marks if mark.role != "note"]
    bend = _bend(rng)
    layers: dict[str, Mask] = {}
    is_sketchy, is_dashed = rng.random() < 0.12, rng.random() < 0.05
    for mark in (*own, *notes):
        points = bend(mapped(to_px, mark.points))
        if not ((points > 0) & (points < DRAWN_PX)).all(axis=1).any():
            continue  # a note of another frame
        thick = max(1.0, width * mark.width * rng.uniform(0.9, 1.1))
        drawn = _line(points, thick, rng, is_dashed=is_dashed and mark.role == "thing")
        if is_sketchy and mark.role in ("thing", "border", "arrow"):
            drawn |= _line(_again(points, rng), thick, rng)
        ink = np.maximum(ink, drawn * np.float32(mark.darkness * rng.uniform(0.8, 1)))
        layers[mark.role] = layers.get(mark.role, np.zeros_like(drawn, bool)) | drawn
    if rng.random() < 0.12:
        ink, layers = _with_print(ink, layers, size, rng)
    ink = np.maximum(ink, left_over(size, width, rng))
    ink = worn(ink, rng)
    labels = _labels(frame, layers, to_px, bend)
    return Example(as_input(ink, size), labels)


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


def as_input(ink: NDArray[np.float32], size: tuple[float, float]) -> NDArray[np.uint8]:
    """What the network sees: ink, any ink at all, and where the frame is."""
    small = (ink > 0).astype(np.float32).reshape(INPUT_PX, 2, INPUT_PX, 2).mean(axis=(1, 3))
    inside = np.zeros((INPUT_PX, INPUT_PX), np.float32)
    left, top = ((INPUT_PX - np.array(size) / 2) / 2).round().astype(int)
    inside[top : INPUT_PX - top, left : INPUT_PX - left] = 1
    return (np.stack([small, small > 0, inside], axis=2) * 255).round().astype(np.uint8)


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

    covered = np.zeros_like(inside)
    for thing in reversed(frame.things):  # what lies under others comes first
        whole = _filled(thing.outline, to_px, bend) & inside
        mask = whole & ~covered
        if not mask.any():
            continue
        covered |= whole
        is_under = mask.sum() < MOST_UNCOVERED * whole.sum()
        put("subject" if thing.is_subject else "supporting", mask)
        put("core", _core(mask, UNDER_CORE_SHARE if is_under else CORE_SHARE))
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
        put("hatching", binary_closing(_small(layers["hatching"]), iterations=HATCH_REACH_PX))
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


def _core(mask: Mask, share: float) -> Mask:
    """The inner part of a filled outline, apart from that of its neighbour."""
    depth = distance_transform_edt(np.pad(mask, 1))[1:-1, 1:-1]
    return np.asarray(depth > max(0.5, share * float(depth.max())))
