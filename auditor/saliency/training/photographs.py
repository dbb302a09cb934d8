"""Real pictures: cut-out foods, backgrounds, and the salient photographs used for checking."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image
from scipy import ndimage

from auditor.saliency.training.backgrounds import Picture
from auditor.saliency.training.dishes import Cutout

WHITE = 0.97  # a cut-out's background is pure white, except for JPEG artefacts
BACKGROUND_SIDE_PX = 96  # enough for a blurred background


def read_cutouts(folder: Path) -> list[Cutout]:
    """Read foods on pure white; everything that is not white is food."""
    return [_cutout(path) for path in sorted(folder.glob("*.jpg"))]


def _cutout(path: Path) -> Cutout:
    picture = _fractions(Image.open(path))
    food = ndimage.binary_fill_holes(ndimage.binary_opening(picture.min(axis=-1) < WHITE))
    rows, columns = np.nonzero(food)
    if rows.size == 0:
        return Cutout(picture, np.ones(picture.shape[:2], np.float32))
    tight = (slice(rows.min(), rows.max() + 1), slice(columns.min(), columns.max() + 1))
    # Drop one pixel at the edge, where JPEG mixes the food with its white background.
    inner = ndimage.binary_erosion(food).astype(np.float32)
    alpha = ndimage.gaussian_filter(inner, 0.7)
    return Cutout(picture[tight], alpha[tight])


def read_backgrounds(
    folder: Path, names: frozenset[str] | None = None, side_px: int = BACKGROUND_SIDE_PX
) -> list[Picture]:
    """Read photographs, reduced, for backgrounds: all in a folder, or those named."""
    side = (side_px, side_px)
    return [
        _fractions(Image.open(path).convert("RGB").resize(side))
        for path in sorted(folder.glob("*.jpg"))
        if names is None or path.stem in names
    ]


def _fractions(picture: Image.Image) -> Picture:
    return np.asarray(picture.convert("RGB"), dtype=np.float32) / np.float32(255)


def salient_names(folder: Path) -> tuple[list[str], list[str], list[str]]:
    """Names of the salient photographs in three parts, of which the third is for the final test.

    In the order of names every fifth picture is for the test, the next one for validation.
    """
    names = sorted(path.stem for path in (folder / "images").glob("*.jpg"))
    training = [name for place, name in enumerate(names) if place % 5 > 1]
    validation = names[1::5]
    test = names[0::5]
    return training, validation, test
