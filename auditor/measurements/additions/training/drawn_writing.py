"""Captions, signatures and watermarks drawn onto photographs; they are the truth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from random import Random
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from auditor.measurements.additions.row_features import LUMA_WEIGHTS

Place = Literal["corner", "foot", "across", "slanted"]
PLACES: tuple[Place, ...] = ("corner", "foot", "across", "slanted")

Colour = tuple[int, int, int]
LIGHT: tuple[Colour, ...] = ((255, 255, 255), (250, 220, 120))
DARK: tuple[Colour, ...] = ((0, 0, 0), (30, 60, 120))

# Type sizes relative to the shorter side, opacities, slants in degrees: as captions and watermarks
# on the web are (from memory).
SIZES: Mapping[Place, tuple[float, float]] = {
    "corner": (0.035, 0.06),
    "foot": (0.04, 0.08),
    "across": (0.08, 0.2),
    "slanted": (0.08, 0.2),
}
OPACITIES: Mapping[Place, tuple[float, ...]] = {
    "corner": (1.0, 1.0, 1.0, 0.8, 0.6),
    "foot": (1.0, 1.0, 1.0, 0.8, 0.6),
    "across": (1.0, 0.7, 0.5, 0.5, 0.35),
    "slanted": (1.0, 0.7, 0.5, 0.5, 0.35),
}
SLANTS_DEG = (-45, -35, -30, -20, 20, 30, 35, 45)

SMALLEST_TYPE_PX = 15  # smaller type can hardly be read in a picture of 640 px
LEAST_DIFFERENCE = 45.0  # of an opaque ink from the mean of what it lies on, in luma
LEAST_DIFFERENCE_HALF_TRANSPARENT = 22.0
LEAST_OVER_SPREAD = 0.9  # the same relative to the spread of what it lies on: it can be read
HALF_TRANSPARENT = 0.75  # opacity below which writing is a watermark rather than a caption
SHADOW_CHANCE, SHADOW = 0.2, 0.6  # of opaque writing, and its darkness
JPEG_QUALITIES = (None, 95, 90, 85)
MARGIN = 0.02  # of the shorter side
ROOM = 0.9  # of the width that writing takes at most; slanted, of the shorter side less a tenth


@dataclass(frozen=True)
class Script:
    """The type faces and lines of one script."""

    fonts: Sequence[Path]
    lines: Sequence[str]


@dataclass(frozen=True)
class Written:
    """A picture with writing.

    Attributes
    ----------
    picture : Image
    coverage : (H, W) float array
        Share of each pixel that the letters cover, in [0, 1].
    place : str
    slant_deg : float
        Counter-clockwise.
    opacity : float
    ink : tuple of int
    script : str
    line : str
    """

    picture: Image.Image
    coverage: NDArray[np.float64]
    place: Place
    slant_deg: float
    opacity: float
    ink: Colour
    script: str
    line: str


def write(
    picture: Image.Image,
    scripts: Mapping[str, Script],
    seed: int,
    place: Place | None = None,
    inks: Sequence[Colour] = (*LIGHT, *LIGHT, *DARK, *DARK),
) -> Written:
    """Draw one line of writing, in a random face and size, onto a picture.

    The first of the inks in random order is taken that can be read on what it lies on.
    """
    random = Random(seed)
    chosen: Place = random.choice(PLACES) if place is None else place
    name = random.choice(sorted(scripts))
    font, line = random.choice(scripts[name].fonts), random.choice(scripts[name].lines)
    layer, size = _layer(picture, font, line, chosen, random)
    slant = random.choice(SLANTS_DEG) if chosen == "slanted" else 0
    if slant:
        layer = layer.rotate(slant, Image.Resampling.BICUBIC, expand=True)
    mask = Image.new("L", picture.size)
    mask.paste(layer, _corner(picture, layer, chosen, random))
    coverage = np.asarray(mask) / 255
    pixels = np.asarray(picture.convert("RGB")).astype(float)
    opacity = random.choice(OPACITIES[chosen])
    if opacity == 1 and random.random() < SHADOW_CHANCE:
        shift = max(1, round(size / 20))
        pixels *= 1 - SHADOW * np.roll(coverage, (shift, shift), (0, 1))[..., None]
    ink = _readable(pixels[coverage > 0.05], opacity, random.sample(list(inks), len(inks)))
    share = opacity * coverage[..., None]
    mixed = Image.fromarray(np.rint(pixels * (1 - share) + np.array(ink) * share).astype(np.uint8))
    return Written(
        as_jpeg(mixed, random.choice(JPEG_QUALITIES)),
        coverage, chosen, slant, opacity, ink, name, line,
    )  # fmt: skip


def as_jpeg(picture: Image.Image, quality: int | None) -> Image.Image:
    """The picture as it comes out of a JPEG file; itself without a quality."""
    if quality is None:
        return picture
    file = BytesIO()
    picture.save(file, "JPEG", quality=quality)
    return Image.open(file).convert("RGB")


def _layer(
    picture: Image.Image, path: Path, line: str, place: Place, random: Random
) -> tuple[Image.Image, float]:
    """The line in white on black, no longer than there is room, and its type size in px."""
    shorter = min(picture.size)
    size = max(SMALLEST_TYPE_PX, shorter * random.uniform(*SIZES[place]))
    room = ROOM * (shorter - 0.1 * shorter if place == "slanted" else picture.width)
    font = ImageFont.truetype(path, int(size))
    box = font.getbbox(line)
    if box[2] - box[0] > room:
        size *= room / (box[2] - box[0])
        font = ImageFont.truetype(path, int(size))
        box = font.getbbox(line)
    edge = 4
    layer = Image.new("L", (int(box[2] - box[0]) + 2 * edge, int(box[3] - box[1]) + 2 * edge))
    ImageDraw.Draw(layer).text((edge - box[0], edge - box[1]), line, font=font, fill=255)
    return layer, size


def _corner(
    picture: Image.Image, layer: Image.Image, place: Place, random: Random
) -> tuple[int, int]:
    """Where the upper left corner of the layer comes."""
    margin = MARGIN * min(picture.size) + 2
    right, low = picture.width - layer.width - margin, picture.height - layer.height - margin
    if place == "corner":
        return int(random.choice([margin, right])), int(random.choice([margin, low, low, low]))
    if place == "foot":
        return (picture.width - layer.width) // 2, int(low - margin * random.uniform(0, 2))
    shift = random.uniform(-0.1, 0.1) * picture.height
    return (picture.width - layer.width) // 2, int((picture.height - layer.height) / 2 + shift)


def _readable(ground: NDArray[np.float64], opacity: float, inks: Sequence[Colour]) -> Colour:
    """The first ink that can be read on what it lies on, else the one that can be read best."""
    mean, spread = float((ground @ LUMA_WEIGHTS).mean()), float((ground @ LUMA_WEIGHTS).std())
    least = LEAST_DIFFERENCE if opacity > HALF_TRANSPARENT else LEAST_DIFFERENCE_HALF_TRANSPARENT
    differences = [opacity * abs(float(np.array(ink) @ LUMA_WEIGHTS) - mean) for ink in inks]
    for ink, difference in zip(inks, differences, strict=True):
        if difference >= max(least, LEAST_OVER_SPREAD * spread):
            return ink
    return inks[int(np.argmax(differences))]
