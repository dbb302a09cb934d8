"""Pictures with a known neutral, or assumed to be balanced, as histograms with a margin."""

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
from auditor.saliency.training.photographs import read_backgrounds, read_cutouts

MARGIN = (16, 8)
"""Bins of warmth and of Duv on each side, so that a simulated cast brings no empty bins in."""

MIN_CELLS = 100
"""Usable cells below which a picture is not used; no source."""

COMPOSITE_SEED = 20251128
MAX_CAST_MIRED = 60.0
"""Photographs are used as they are, and under a random cast of at most this size."""


@dataclass(frozen=True, slots=True)
class TrainingPicture:
    """The histograms and the neutral of one picture.

    Attributes
    ----------
    histograms : (kinds, rows, columns) float16 array
        With `MARGIN` on each side.
    neutral : (2,) float array
        Position of the neutral, in bins from the middle of the histograms.
    """

    histograms: NDArray[np.float16]
    neutral: NDArray[np.float64]


def tables(folder: Path) -> list[TrainingPicture]:
    """Read rendered tables with their ``truth.json`` (`fixtures/rendering`)."""
    record = json.loads((folder / "truth.json").read_text())
    shifts = {
        folder / name: float(true["colour_temperature"]["shift_mired"])
        for name, true in record.items()
    }
    with Pool() as workers:
        return [t for t in workers.starmap(_table, shifts.items(), chunksize=8) if t is not None]


def photographs(folder: Path, which: slice) -> list[TrainingPicture]:
    """Read some of the photographs of a folder, in order of names; assumed to be balanced."""
    files = sorted(folder.glob("*.jpg"))[which]
    with Pool() as workers:
        both = workers.starmap(_photograph, enumerate(files), chunksize=4)
    return [picture for pair in both for picture in pair]


def composites(data: Path, n: int) -> list[TrainingPicture]:
    """Compose tables from cut-out foods on drawn dishes and surfaces; assumed to be balanced."""
    cutouts = read_cutouts(data / "cutouts")
    backgrounds = read_backgrounds(data / "salient" / "images")
    found: list[TrainingPicture] = []
    for seed in range(n):
        rng = np.random.default_rng([COMPOSITE_SEED, seed])
        found += _with_and_without_cast(seed, compose(rng, cutouts, backgrounds).picture)
    return found


def _table(path: Path, shift: float) -> TrainingPicture | None:
    return _training_picture(np.asarray(Image.open(path).convert("RGB")), shift)


def _photograph(seed: int, path: Path) -> list[TrainingPicture]:
    return _with_and_without_cast(seed, np.asarray(Image.open(path).convert("RGB")))


def _with_and_without_cast(seed: int, pixels: NDArray[np.uint8]) -> list[TrainingPicture]:
    cast = float(np.random.default_rng(seed).uniform(-MAX_CAST_MIRED, MAX_CAST_MIRED))
    shifted = shift_mired(LINEAR_FROM_BYTE[pixels].astype(np.float64), cast)
    shown = np.rint(255 * srgb_from_linear(np.clip(shifted, 0, 1))).astype(np.uint8)
    return list(_usable((pixels, 0.0), (shown, cast)))


def _usable(*pictures: tuple[NDArray[np.uint8], float]) -> Iterator[TrainingPicture]:
    for pixels, cast in pictures:
        picture = _training_picture(pixels, cast)
        if picture is not None:
            yield picture


def _training_picture(pixels: NDArray[np.uint8], shift: float) -> TrainingPicture | None:
    cells = cells_of(pixels, np.zeros((4, 4), dtype=np.bool_))
    if len(cells.plane) < MIN_CELLS:
        return None
    neutral = plane_from_linear(shift_mired(np.ones(3), shift))
    return TrainingPicture(
        colour_histograms(cells, MARGIN).astype(np.float16),
        neutral / np.array([WARMTH_BIN_MIRED, DUV_BIN]),
    )
