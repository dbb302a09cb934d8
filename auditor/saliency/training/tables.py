"""Rendered tables as training data: pictures with index maps."""

from __future__ import annotations

from multiprocessing import Pool
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.saliency.training.composites import SIDE_PX, cores

SUBJECT_INDEX = 1  # in an index map; 0 is background, higher values are the other things


def read_tables(folder: Path) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Read NAME.jpg with the index map NAME.png.

    Returns
    -------
    pictures : (n, SIDE_PX, SIDE_PX, 3) uint8 array
    truths : (n, SIDE_PX, SIDE_PX, 3) uint8 array
        0 to 255: subject, all placed things, the cores of things.
    """
    files = sorted(folder.glob("*.jpg"))
    with Pool() as workers:
        both = workers.map(_read, files, chunksize=16)
    if not both:
        raise FileNotFoundError(f"{folder} holds no rendered tables")
    return np.stack([picture for picture, _ in both]), np.stack([truth for _, truth in both])


def _read(file: Path) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    size = (SIDE_PX, SIDE_PX)
    picture = np.asarray(Image.open(file).convert("RGB").resize(size))
    shown = Image.open(file.with_suffix(".png")).convert("L").resize(size, Image.Resampling.NEAREST)
    return picture, truth_planes(np.asarray(shown))


def truth_planes(shown: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Subject, things and cores (h, w, 3), 0 to 255, from an index map (h, w)."""
    numbers = [int(number) for number in np.unique(shown) if number]
    instances = [(shown == number).astype(np.float32) for number in numbers]
    planes = [shown == SUBJECT_INDEX, shown > 0, cores(instances, *shown.shape) > 0]
    return np.stack(planes, axis=-1).astype(np.uint8) * np.uint8(255)
