"""Real pictures as teachers: salient photographs, outlined objects, cut-out foods."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy import ndimage

from auditor.saliency.training.composites import SIDE_PX
from auditor.saliency.training.dishes import Cutout
from auditor.saliency.training.grounds import Picture

WHITE = 0.97  # a cut-out's background is pure white, but for the traces of JPEG
GROUND_SIDE_PX = 96  # a blurred background needs no more
# Category numbers of COCO (2014 annotation files) for what stands on a table: bottle to spoon,
# bowl, the foods from banana to cake.
TABLEWARE_AND_FOOD = frozenset(range(44, 62))
FURNITURE = frozenset({65, 67})  # beds and tables: what others lie or stand on
DOMINANT_SHARE = 0.08  # of the frame; a smaller thing is seldom what a picture is of
DOMINANT_PART = 0.75  # of all that is outlined in a picture, for its one subject
OBJECT_SHARE = 0.03  # of the frame; smaller ones have too few pixels to be set elsewhere
WHOLE_MARGIN = 0.005  # of the frame; nearer to its edge a thing may be cut off


def read_cutouts(folder: Path) -> list[Cutout]:
    """Foods on pure white; whatever is not white is food."""
    return [_cutout(path) for path in sorted(folder.glob("*.jpg"))]


def _cutout(path: Path) -> Cutout:
    picture = _fractions(Image.open(path))
    food = ndimage.binary_fill_holes(ndimage.binary_opening(picture.min(axis=-1) < WHITE))
    rows, columns = np.nonzero(food)
    if rows.size == 0:
        return Cutout(picture, np.ones(picture.shape[:2], np.float32))
    tight = (slice(rows.min(), rows.max() + 1), slice(columns.min(), columns.max() + 1))
    # One pixel less at the edge, where JPEG has mixed the food with its white background.
    inner = ndimage.binary_erosion(food).astype(np.float32)
    alpha = ndimage.gaussian_filter(inner, 0.7)
    return Cutout(picture[tight], alpha[tight])


def read_grounds(folder: Path, names: frozenset[str] | None = None) -> list[Picture]:
    """Small photographs to blur into backgrounds; all in a folder, or those named."""
    side = (GROUND_SIDE_PX, GROUND_SIDE_PX)
    return [
        _fractions(Image.open(path).convert("RGB").resize(side))
        for path in sorted(folder.glob("*.jpg"))
        if names is None or path.stem in names
    ]


def _fractions(picture: Image.Image) -> Picture:
    return np.asarray(picture.convert("RGB"), dtype=np.float32) / np.float32(255)


def salient_names(folder: Path) -> tuple[list[str], list[str], list[str]]:
    """Split the salient photographs: to learn from, to choose by, to check with at the end.

    Every fifth picture in the order of names is only for checking, the one after it for choosing.
    """
    names = sorted(path.stem for path in (folder / "images").glob("*.jpg"))
    learn = [name for place, name in enumerate(names) if place % 5 > 1]
    choose = names[1::5]
    check = names[0::5]
    return learn, choose, check


def read_salient(folder: Path, names: list[str]) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Pictures (n, SIDE_PX, SIDE_PX, 3) and subject masks (n, SIDE_PX, SIDE_PX), 0 to 255."""
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
    """Pictures with things on a table and masks of these things, as `read_salient`.

    Pictures without any such thing are left out: what else they show is outlined by no one.
    """
    pictures, masks = [], []
    for picture, outlines in _outlined(folder):
        things = [outline for number, outline in outlines if number in TABLEWARE_AND_FOOD]
        if things:
            pictures.append(picture)
            masks.append(np.max([_filled(outline) for outline in things], axis=0))
    return np.stack(pictures), np.stack(masks)


def read_dominant(folder: Path) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Pictures in which one outlined object outweighs all others, as `read_salient`.

    Nobody said that it is the subject; a thing so large among what is there mostly is.
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
    """Every outlined object that is large and whole, with the picture it is in."""
    pictures, masks = [], []
    for picture, outlines in _outlined(folder):
        for number, outline in outlines:
            whole = outline.min() > WHOLE_MARGIN and outline.max() < 1 - WHOLE_MARGIN
            if whole and _share(outline) >= OBJECT_SHARE and number not in FURNITURE:
                pictures.append(picture)
                masks.append(_filled(outline))
    return np.stack(pictures), np.stack(masks)


def is_whole(masks: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """Whether each mask, of (n, h, w), leaves the frame's edge free."""
    edges = [masks[:, 0], masks[:, -1], masks[:, :, 0], masks[:, :, -1]]
    return np.asarray(np.max([edge.max(axis=1) for edge in edges], axis=0) < 128)


def _outlined(
    folder: Path,
) -> Iterator[tuple[NDArray[np.uint8], list[tuple[int, NDArray[np.float64]]]]]:
    """Each picture, and category and (n, 2) outline of each object, in fractions."""
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
