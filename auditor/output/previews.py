"""The small pictures that lie beside the page: sRGB JPEGs without any metadata."""

from __future__ import annotations

import io
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
# Boxes are averaged first, to at most this many times the final size, then the filter is applied:
# by 0.4 of 255 levels (rms) from the filter alone on 40 photographs, in two thirds of the time.
REDUCING_GAP = 1.5
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
    """Whether a file is named as `preview_name` and `write_preview` name theirs."""
    return _PREVIEW_NAME.fullmatch(name) is not None


@dataclass(frozen=True, slots=True)
class EncodedPreview:
    """The bytes of a picture's two previews, each a JPEG."""

    data: bytes
    small_data: bytes


def encode_preview(pixels: NDArray[np.uint8]) -> EncodedPreview:
    """Make a picture's two previews.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB as displayed.
    """
    picture = Image.fromarray(np.ascontiguousarray(pixels))
    return EncodedPreview(_jpeg(picture, PREVIEW_SIDE_PX), _jpeg(picture, SMALL_SIDE_PX))


def write_preview(encoded: EncodedPreview, path: Path) -> Preview:
    """Write a picture's two previews.

    Parameters
    ----------
    encoded : EncodedPreview
    path : Path
        Of the larger one, ending in ``.jpg``; the smaller one is written beside it. Its folder is
        made where it is missing.

    Raises
    ------
    OSError
        The files cannot be written.
    ValueError
        The bytes are not those of a preview.
    """
    width, height = _size_of(encoded.data)
    small_path = _small_path(path)
    write_picture(encoded.small_data, small_path)
    write_picture(encoded.data, path)
    return Preview(path.name, small_path.name, width, height)


def after_name(preview: str, number: int) -> str:
    """Name the picture after a correction, beside its preview; corrections count from 1."""
    return f"{Path(preview).stem}-after-{number}.jpg"


def encode_small(pixels: NDArray[np.uint8], side_px: int) -> bytes:
    """Make one small picture: a JPEG in sRGB without metadata.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB as displayed.
    side_px : int
        Its longest side at most; a smaller picture keeps its size.
    """
    return _jpeg(Image.fromarray(np.ascontiguousarray(pixels)), side_px)


def write_picture(data: bytes, path: Path) -> None:
    """Write a small picture beside and rename it, so that no run ever leaves half of one.

    Raises
    ------
    OSError
        It cannot be written.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    unfinished = path.with_name(path.name + ".part")
    unfinished.write_bytes(data)
    unfinished.replace(path)


def _jpeg(picture: Image.Image, side_px: int) -> bytes:
    """Reduce an RGB picture, in place, to at most this longest side, and encode it."""
    picture.thumbnail((side_px, side_px), Image.Resampling.LANCZOS, reducing_gap=REDUCING_GAP)
    written = io.BytesIO()
    # Best codes and progressive scans would save 6 % of the bytes in five times the time.
    picture.save(written, format="JPEG", quality=JPEG_QUALITY)
    return written.getvalue()


def _size_of(data: bytes) -> tuple[int, int]:
    try:
        with Image.open(io.BytesIO(data), formats=("JPEG",)) as picture:
            return picture.size
    except OSError as error:
        raise ValueError("not a preview") from error


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
