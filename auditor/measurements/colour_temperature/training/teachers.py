"""Pictures whose light is known, or taken to be neutral, as histograms with room for casts."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.colorimetry import LINEAR_FROM_BYTE, shift_mired, srgb_from_linear
from auditor.colour_signature.neutral_plane import cells_of, plane_from_linear
from auditor.measurements.colour_temperature.colour_histograms import (
    DUV_BIN,
    WARMTH_BIN_MIRED,
    colour_histograms,
)
from auditor.saliency.training.composites import compose
from auditor.saliency.training.photographs import read_cutouts, read_grounds

MARGIN = (16, 8)
"""Bins around the plane, so that a cast imitated by moving brings in what was outside."""

LEAST_CELLS = 100
COMPOSITE_SALT = 20251128
WIDEST_CAST_MIRED = 60.0
"""Of photographs: each is learnt as it is and under one cast from chance."""


@dataclass(frozen=True, slots=True)
class Teacher:
    """One picture.

    Attributes
    ----------
    histograms : (kinds, rows, columns) float16 array
    neutral : (2,) float array
        Where the neutral lies, in bins from the middle of the histograms.
    """

    histograms: NDArray[np.float16]
    neutral: NDArray[np.float64]


def tables(folder: Path) -> list[Teacher]:
    """Rendered tables with their ``truth.json`` (`fixtures/rendering`)."""
    record = json.loads((folder / "truth.json").read_text())
    shifts = {
        folder / name: float(true["colour_temperature"]["shift_mired"])
        for name, true in record.items()
    }
    with Pool() as workers:
        return [t for t in workers.starmap(_table, shifts.items(), chunksize=8) if t is not None]


def photographs(folder: Path, places: slice) -> list[Teacher]:
    """Photographs of a folder, some by their place in order, each taken as balanced."""
    files = sorted(folder.glob("*.jpg"))[places]
    with Pool() as workers:
        both = workers.starmap(_photograph, enumerate(files), chunksize=4)
    return [teacher for pair in both for teacher in pair]


def composites(data: Path, n: int) -> list[Teacher]:
    """Tables composed of cut-out foods on drawn dishes and grounds, each taken as balanced."""
    cutouts = read_cutouts(data / "cutouts")
    grounds = read_grounds(data / "salient" / "images")
    found: list[Teacher] = []
    for seed in range(n):
        pixels = compose(np.random.default_rng([COMPOSITE_SALT, seed]), cutouts, grounds).picture
        found += _with_and_without_cast(seed, pixels)
    return found


def _table(path: Path, shift: float) -> Teacher | None:
    return _teacher(np.asarray(Image.open(path).convert("RGB")), shift)


def _photograph(seed: int, path: Path) -> list[Teacher]:
    return _with_and_without_cast(seed, np.asarray(Image.open(path).convert("RGB")))


def _with_and_without_cast(seed: int, pixels: NDArray[np.uint8]) -> list[Teacher]:
    cast = float(np.random.default_rng(seed).uniform(-WIDEST_CAST_MIRED, WIDEST_CAST_MIRED))
    moved = shift_mired(LINEAR_FROM_BYTE[pixels].astype(np.float64), cast)
    shown = np.rint(255 * srgb_from_linear(np.clip(moved, 0, 1))).astype(np.uint8)
    return list(_known((pixels, 0.0), (shown, cast)))


def _known(*pictures: tuple[NDArray[np.uint8], float]) -> Iterator[Teacher]:
    for pixels, cast in pictures:
        teacher = _teacher(pixels, cast)
        if teacher is not None:
            yield teacher


def _teacher(pixels: NDArray[np.uint8], shift: float) -> Teacher | None:
    cells = cells_of(pixels, np.zeros((4, 4), dtype=np.bool_))
    if len(cells.plane) < LEAST_CELLS:
        return None
    neutral = plane_from_linear(shift_mired(np.ones(3), shift))
    return Teacher(
        colour_histograms(cells, MARGIN).astype(np.float16),
        neutral / np.array([WARMTH_BIN_MIRED, DUV_BIN]),
    )
