"""Objects of all kinds, cut out with transparency, as training data."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.saliency.training.composites import SIDE_PX

SOLID = 128  # of 255: more opaque pixels belong to the object
MIN_COLOURS = 250  # of 32 x 32 x 32: a photograph has more of them than a drawing
MIN_SHARE, MAX_SHARE = 0.08, 0.93  # of its picture that an object covers
MARGIN = 0.08  # of the side, left free around an object


def read_objects(folder: Path) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Read every photographed object of a folder of PNG files with transparency.

    Returns
    -------
    pictures : (n, SIDE_PX, SIDE_PX, 3) uint8 array
    masks : (n, SIDE_PX, SIDE_PX) uint8 array
        0 to 255, the opacity.
    """
    pictures, masks = [], []
    for file in sorted(folder.rglob("*.png")):
        layers = np.asarray(_centred(Image.open(file).convert("RGBA")))
        if is_photographed(layers):
            pictures.append(layers[..., :3])
            masks.append(layers[..., 3])
    if not pictures:
        raise FileNotFoundError(f"{folder} holds no photographed objects")
    return np.stack(pictures), np.stack(masks)


def is_photographed(layers: NDArray[np.uint8]) -> bool:
    """True for a (h, w, 4) picture of one object, photographed and not drawn."""
    solid = layers[..., 3] > SOLID
    coarse = (layers[solid][:, :3] >> 3).astype(np.int32)
    n_colours = len(np.unique(coarse @ np.array([1024, 32, 1])))
    fills = MIN_SHARE * (1 - 2 * MARGIN) ** 2 < solid.mean() < MAX_SHARE
    return bool(fills and n_colours >= MIN_COLOURS)


def _centred(object_: Image.Image) -> Image.Image:
    """The object in the middle of a transparent square, its proportions kept."""
    side = round(SIDE_PX * (1 - 2 * MARGIN))
    scale = side / max(object_.size)
    size = (max(1, round(object_.width * scale)), max(1, round(object_.height * scale)))
    square = Image.new("RGBA", (SIDE_PX, SIDE_PX))
    place = ((SIDE_PX - size[0]) // 2, (SIDE_PX - size[1]) // 2)
    square.paste(object_.resize(size, Image.Resampling.LANCZOS), place)
    return square
