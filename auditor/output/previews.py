"""The small pictures that lie beside the page: sRGB JPEGs without any metadata."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

import numpy as np
from numpy.typing import NDArray
from PIL import Image

PICTURES_FOLDER = "pictures"  # beside index.html
PROOFS_FOLDER = "proofs"  # beside index.html
PROOF_SIDE_PX = 1600  # enough to judge a version by, too little to deliver
PREVIEW_SIDE_PX = 1024  # fills half of a wide screen at two device pixels a unit
SMALL_SIDE_PX = 320  # a contact sheet's frame at two device pixels a unit
JPEG_QUALITY = 82  # no visible loss at this size; a third of the bytes of quality 95
SLUG_LENGTH = 40  # keeps the whole path short enough for every file system
SMALL_SUFFIX = "-small"

_PREVIEW_NAME = re.compile(r"[0-9]{4,}-[a-z0-9-]+\.jpg")


@dataclass(frozen=True, slots=True)
class Preview:
    """A picture as the page shows it.

    Attributes
    ----------
    file, small_file : str
        Names inside `PICTURES_FOLDER`: the larger one and the contact sheet's.
    width, height : int
        Of the larger one, pixels.
    """

    file: str
    small_file: str
    width: int
    height: int


def preview_name(number: int, file: str) -> str:
    """Name a preview safely and uniquely.

    Parameters
    ----------
    number : int
        Of the picture in the record, which makes the name unique.
    file : str
        The picture's own path, of which only plain letters and digits are kept.
    """
    plain = unicodedata.normalize("NFKD", PurePosixPath(file).stem).encode("ascii", "ignore")
    slug = re.sub(r"[^a-z0-9]+", "-", plain.decode("ascii").lower()).strip("-")[:SLUG_LENGTH]
    return f"{number:04d}-{slug.strip('-') or 'picture'}.jpg"


def is_preview_name(name: str) -> bool:
    """Whether a file is named as `preview_name` and `make_preview` name theirs."""
    return _PREVIEW_NAME.fullmatch(name) is not None


def make_preview(pixels: NDArray[np.uint8], path: Path) -> Preview:
    """Write a picture's two previews.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB as displayed.
    path : Path
        Of the larger one, ending in ``.jpg``; the smaller one is written beside it. Its folder is
        made where it is missing.

    Raises
    ------
    OSError
        Where the files cannot be written.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    picture = Image.fromarray(np.ascontiguousarray(pixels)).convert("RGB")
    picture.thumbnail((PREVIEW_SIDE_PX, PREVIEW_SIDE_PX), Image.Resampling.LANCZOS)
    small_path = _small_path(path)
    small = picture.copy()
    small.thumbnail((SMALL_SIDE_PX, SMALL_SIDE_PX), Image.Resampling.LANCZOS)
    _write_jpeg(small, small_path)
    _write_jpeg(picture, path)
    return Preview(path.name, small_path.name, picture.width, picture.height)


def after_name(preview: str, number: int) -> str:
    """Name the picture after a correction, beside its preview; corrections count from 1."""
    return f"{Path(preview).stem}-after-{number}.jpg"


def write_small(pixels: NDArray[np.uint8], path: Path, side_px: int) -> None:
    """Write one small picture: a JPEG in sRGB without metadata.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB as displayed.
    path : Path
        Its folder is made where it is missing.
    side_px : int
        Its longest side at most; a smaller picture keeps its size.

    Raises
    ------
    OSError
        Where the file cannot be written.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    picture = Image.fromarray(np.ascontiguousarray(pixels)).convert("RGB")
    picture.thumbnail((side_px, side_px), Image.Resampling.LANCZOS)
    _write_jpeg(picture, path)


def _write_jpeg(picture: Image.Image, path: Path) -> None:
    """Write beside and rename, so that a broken run never leaves half a picture."""
    unfinished = path.with_name(path.name + ".part")
    picture.save(unfinished, format="JPEG", quality=JPEG_QUALITY, optimize=True, progressive=True)
    unfinished.replace(path)


def find_previews(directory: Path, files: Sequence[str]) -> dict[str, Preview]:
    """The previews that a report holds already.

    Parameters
    ----------
    directory : Path
        The report's folder.
    files : sequence of str
        All pictures of the record, in its order.

    Returns
    -------
    dict of str to Preview
        By file; pictures without a preview that can be read are left out.
    """
    found = {}
    for number, file in enumerate(files, start=1):
        path = directory / PICTURES_FOLDER / preview_name(number, file)
        try:
            with Image.open(path) as picture:
                width, height = picture.size
        except OSError:
            continue
        found[file] = Preview(path.name, _small_path(path).name, width, height)
    return found


def _small_path(path: Path) -> Path:
    return path.with_name(f"{path.stem}{SMALL_SUFFIX}{path.suffix}")
