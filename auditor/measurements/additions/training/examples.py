"""Rows found in photographs with and without writing, as numbers with their truth."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from random import Random

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageEnhance, ImageFilter

from auditor.measurements.additions.candidates import (
    Candidate,
    candidates,
    stroke_images,
)
from auditor.measurements.additions.training.drawn_writing import Script, Written, write
from auditor.measurements.additions.training.printed_labels import add_label

ON_WRITING = 0.7  # share of a row's box within that of the writing from which it is writing
OFF_WRITING = 0.2  # and below which it is not; between them it is neither
LEAST_OF_WRITING = 0.1  # share of the letters that it must hold
COVERED = 0.3  # share of a pixel covered by a letter from which it belongs to it
N_WRITINGS = 3  # on each variant, since they are few rows among many
SHORTEST_PX = 330  # no variant is smaller
SHARPENING_CHANCE = 0.3
TURN_DEG = 50.0  # pictures without writing are also seen turned, as the search along slants does


@dataclass(frozen=True)
class Example:
    """One row: its numbers, and whether it is writing put onto the picture."""

    features: list[float]
    is_writing: bool


def examples(
    paths: list[Path], scripts: Mapping[str, Script], n_variants: int
) -> Iterator[Example]:
    """Rows of all pictures and of varied copies: plain, written on, with a label, turned."""
    for number, path in enumerate(paths):
        with Image.open(path) as file:
            picture = file.convert("RGB")
        yield from _without(picture)
        yield from _with_writing(write(picture, scripts, number))
        for variant in range(n_variants):
            seed = 1000 * (number + 1) + variant
            yield from _without(_varied(picture, seed))
            for nth in range(N_WRITINGS):
                written = write(_varied(picture, seed + 100 * nth), scripts, seed + 500 * nth)
                yield from _with_writing(written)
            yield from _without(add_label(_varied(picture, seed + 300), scripts, seed))
            turn = Random(seed).uniform(-TURN_DEG, TURN_DEG)
            yield from _without(_turned(_varied(picture, seed + 400), turn))


def _without(picture: Image.Image) -> Iterator[Example]:
    for row in candidates(stroke_images(np.asarray(picture))):
        yield Example(row.features.tolist(), is_writing=False)


def _with_writing(written: Written) -> Iterator[Example]:
    picture, coverage = written.picture, written.coverage
    if written.slant_deg:
        picture = _turned(picture, -written.slant_deg)
        mask = Image.fromarray(np.rint(coverage * 255).astype(np.uint8))
        coverage = np.asarray(_turned(mask, -written.slant_deg)) / 255
    covered = coverage > COVERED
    if not covered.any():
        return
    for row in candidates(stroke_images(np.asarray(picture))):
        truth = _truth(row, covered)
        if truth is not None:
            yield Example(row.features.tolist(), is_writing=truth)


def _truth(row: Candidate, covered: NDArray[np.bool_]) -> bool | None:
    """Whether a row is the writing; None if it is partly."""
    left, top, right, bottom = (
        int(side * row.image.reduction)
        for side in (row.row.left, row.row.top, row.row.right, row.row.bottom)
    )
    rows, columns = covered.nonzero()
    across = max(0, min(right, columns.max() + 1) - max(left, columns.min()))
    down = max(0, min(bottom, rows.max() + 1) - max(top, rows.min()))
    within = across * down / max(1, (right - left) * (bottom - top))
    if within < OFF_WRITING:
        return False
    held = covered[top:bottom, left:right].sum() / covered.sum()
    return True if within > ON_WRITING and held > LEAST_OF_WRITING else None


def _varied(picture: Image.Image, seed: int) -> Image.Image:
    """A part of the picture, perhaps mirrored or turned, in another size, light and contrast."""
    random = Random(seed)
    if random.random() < 0.5:
        picture = picture.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    if random.random() < 0.15:
        picture = picture.transpose(Image.Transpose.ROTATE_90)
    share = random.uniform(0.55, 1)
    width, height = int(share * picture.width), int(share * picture.height)
    left = random.randint(0, picture.width - width)
    top = random.randint(0, picture.height - height)
    picture = picture.crop((left, top, left + width, top + height))
    scale = max(random.uniform(0.8, 1.5), SHORTEST_PX / min(picture.size))
    size = (int(scale * width), int(scale * height))
    picture = picture.resize(size, Image.Resampling.LANCZOS)
    picture = ImageEnhance.Brightness(picture).enhance(random.uniform(0.7, 1.3))
    picture = ImageEnhance.Contrast(picture).enhance(random.uniform(0.8, 1.4))
    if random.random() < SHARPENING_CHANCE:
        picture = picture.filter(ImageFilter.UnsharpMask(1, 80, 0))
    return picture


def _turned(picture: Image.Image, degrees: float) -> Image.Image:
    return picture.rotate(degrees, Image.Resampling.BICUBIC, expand=True)
