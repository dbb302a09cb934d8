"""Real pictures as training data: salient photographs, outlined objects, cut-out foods."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy import ndimage

from auditor.saliency.training.backgrounds import Picture
from auditor.saliency.training.composites import SIDE_PX
from auditor.saliency.training.dishes import Cutout

WHITE = 0.97  # a cut-out's background is pure white, except for JPEG artefacts
BACKGROUND_SIDE_PX = 96  # enough for a blurred background
# Category numbers of COCO (2014 annotation files) for things on a table: bottle to spoon, bowl, the
# foods from banana to cake.
TABLEWARE_AND_FOOD = frozenset(range(44, 62))
FURNITURE = frozenset({65, 67})  # beds and tables: other things lie or stand on them
DOMINANT_SHARE = 0.08  # of the frame; a smaller thing is seldom the subject
DOMINANT_PART = 0.75  # of the outlined area in a picture, for its one subject
OBJECT_SHARE = 0.03  # of the frame; smaller ones have too few pixels to be placed elsewhere
WHOLE_MARGIN = 0.005  # of the frame; a thing nearer to its edge may be cut off


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


def read_backgrounds(folder: Path, names: frozenset[str] | None = None) -> list[Picture]:
    """Read photographs, reduced, to blur into backgrounds: all in a folder, or those named."""
    side = (BACKGROUND_SIDE_PX, BACKGROUND_SIDE_PX)
    return [
        _fractions(Image.open(path).convert("RGB").resize(side))
        for path in sorted(folder.glob("*.jpg"))
        if names is None or path.stem in names
    ]


def _fractions(picture: Image.Image) -> Picture:
    return np.asarray(picture.convert("RGB"), dtype=np.float32) / np.float32(255)


def salient_names(folder: Path) -> tuple[list[str], list[str], list[str]]:
    """Names of the salient photographs for training, for validation and for the final test.

    In the order of names every fifth picture is for the test, the next one for validation.
    """
    names = sorted(path.stem for path in (folder / "images").glob("*.jpg"))
    training = [name for place, name in enumerate(names) if place % 5 > 1]
    validation = names[1::5]
    test = names[0::5]
    return training, validation, test


def read_salient(folder: Path, names: list[str]) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Read pictures (n, SIDE_PX, SIDE_PX, 3) and subject masks (n, SIDE_PX, SIDE_PX), 0 to 255."""
    size = (SIDE_PX, SIDE_PX)
    pictures = [
        np.asarray(Image.open(folder / "images" / f"{name}.jpg").convert("RGB").resize(size))
        for name in names
    ]
    masks = [
        np.asarray(Image.open(folder / "masks" / f"{name}.png").convert("L").resize(size))
        for name in names
    ]
    return np.stack(pictures), np.stack(masks)


def read_outlined(folder: Path) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Read pictures with things on a table and masks of these things, as `read_salient`.

    Pictures without any such thing are left out, because their other content is not outlined.
    """
    pictures, masks = [], []
    for picture, outlines in _outlined(folder):
        things = [outline for number, outline in outlines if number in TABLEWARE_AND_FOOD]
        if things:
            pictures.append(picture)
            masks.append(np.max([_filled(outline) for outline in things], axis=0))
    return np.stack(pictures), np.stack(masks)


def read_dominant(folder: Path) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Read pictures in which one outlined object outweighs all others, as `read_salient`.

    It is not annotated as the subject, but so dominant an object usually is.
    """
    pictures, masks = [], []
    for picture, outlines in _outlined(folder):
        if not outlines:
            continue
        shares = [_share(outline) for _, outline in outlines]
        number, largest = outlines[int(np.argmax(shares))]
        large = max(shares) >= max(DOMINANT_SHARE, DOMINANT_PART * sum(shares))
        if large and number not in FURNITURE:
            pictures.append(picture)
            masks.append(_filled(largest))
    return np.stack(pictures), np.stack(masks)


def read_objects(folder: Path) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Read every outlined object that is large and whole, with its picture, as `read_salient`."""
    pictures, masks = [], []
    for picture, outlines in _outlined(folder):
        for number, outline in outlines:
            whole = outline.min() > WHOLE_MARGIN and outline.max() < 1 - WHOLE_MARGIN
            if whole and _share(outline) >= OBJECT_SHARE and number not in FURNITURE:
                pictures.append(picture)
                masks.append(_filled(outline))
    return np.stack(pictures), np.stack(masks)


def is_whole(masks: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """True for each mask of (n, h, w) that does not touch the frame's edge."""
    edges = [masks[:, 0], masks[:, -1], masks[:, :, 0], masks[:, :, -1]]
    return np.asarray(np.max([edge.max(axis=1) for edge in edges], axis=0) < 128)


def _outlined(
    folder: Path,
) -> Iterator[tuple[NDArray[np.uint8], list[tuple[int, NDArray[np.float64]]]]]:
    """Each picture, with the category and (n, 2) outline, in fractions, of each object."""
    for file in sorted((folder / "instances").glob("*.txt")):
        outlines = []
        for line in file.read_text(encoding="ascii").splitlines():
            number, *positions = line.split()
            outlines.append((int(number), np.array(positions, dtype=float).reshape(-1, 2)))
        picture = Image.open(folder / "images" / f"{file.stem}.jpg").convert("RGB")
        yield np.asarray(picture.resize((SIDE_PX, SIDE_PX))), outlines


def _filled(outline: NDArray[np.float64]) -> NDArray[np.uint8]:
    mask = Image.new("L", (SIDE_PX, SIDE_PX))
    ImageDraw.Draw(mask).polygon([float(p) for p in (outline * SIDE_PX).ravel()], fill=255)
    return np.asarray(mask)


def _share(outline: NDArray[np.float64]) -> float:
    """Area of a polygon, by the shoelace formula."""
    x, y = outline.T
    return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2)
