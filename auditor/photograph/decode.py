"""Read one picture: its file once, its pixels no larger than the measurements need."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.colorimetry import srgb_pixels
from auditor.errors import UnreadablePictureError
from auditor.photograph.colour_management import to_srgb
from auditor.photograph.containers import HEIF, JPEG, PNG, TIFF, has_sound_checksums
from auditor.photograph.decoder import load, opened, refusing_what_fails
from auditor.photograph.deep_png import deep_samples, is_deep
from auditor.photograph.description import describe
from auditor.photograph.exif import read_exif
from auditor.photograph.file_bytes import Content, FileBytes
from auditor.photograph.orientation import UPRIGHT, orientation_of, turn, turned_size
from auditor.photograph.photograph import WORKING_SIDE_PX, Photograph
from auditor.photograph.picture_file import opened_file
from auditor.photograph.refusals import refusal_after, too_little_memory
from auditor.photograph.samples import eight_bit_on_white, is_plain
from auditor.photograph.shrinking import (
    RowsReader,
    Size,
    detail_size_px,
    fitted,
    n_rows_at_once,
    reduced_rows,
    resized,
    rows_of,
    shrunk,
    whole_factor,
)
from auditor.photograph.stated_colours import needs_16_bits, stated_colours
from auditor.photograph.tiff_rows import rows_in_place
from auditor.photograph.undecoded import undecoded_fraction
from auditor.reasons import RefusalReason

if TYPE_CHECKING:
    from auditor.photograph.description import Description

# The largest cameras give 150 megapixels, and stitched panoramas twice that. The limit of memory is
# another (`memory_limit`); this one bounds the time of formats that need little memory.
LARGEST_PICTURE_PX = 300_000_000

_ROWS_AT_ONCE = 64  # of the final pixels while they are copied; they stay in the processor's cache


@dataclass(frozen=True, slots=True)
class _Stored:
    """The frame of an opened picture as it is stored.

    Attributes
    ----------
    rows : callable
        Gives its rows, of the size to which it was decoded.
    size : tuple of int
        To which it was decoded.
    to_turn : int
        The orientation by which it is still to be turned.
    shown : tuple of int
        Full width and height as displayed.
    orientation : int
        In the metadata.
    is_whole : bool
        True if the opened picture holds all of it now.
    """

    rows: RowsReader
    size: Size
    to_turn: int
    shown: Size
    orientation: int
    is_whole: bool


def read_photograph(folder: Path, file: str) -> Photograph:
    """Read, decode and describe one picture.

    The pixels are sRGB, in the orientation in which the picture is displayed, with transparent
    parts on white. `detail` is read at 1/2, 1/4 or 1/8 of the full size if that leaves at least
    `DETAIL_ENOUGH_PX`, in every format, so that a picture has the same detail as JPEG and as TIFF.

    Parameters
    ----------
    folder : Path
    file : str
        Path relative to the folder, with ``/``.

    Returns
    -------
    Photograph

    Raises
    ------
    UnreadablePictureError
        The file cannot be read or decoded. Has a code of `RefusalReason` and a message for the
        photographer. Any other error is a fault of our own code.
    """
    with warnings.catch_warnings():
        # Pillow warns of odd metadata that change nothing here; errors that matter are raised.
        warnings.simplefilter("ignore")
        try:
            with opened_file(folder / file) as (content, kind, sha256):
                if not has_sound_checksums(content, kind):
                    raise refusal_after(ValueError("checksum"), content, kind)
                reading = _decode(file, content, kind)
            # The file's bytes are not needed any more.
            return _photograph(file, sha256, *reading)
        except MemoryError as error:
            raise too_little_memory() from error


def _decode(
    file: str, content: Content, kind: str
) -> tuple[Size, str, Description, Image.Image, float]:
    """Size as displayed, name of the encoding, metadata, detail in sRGB as displayed.

    The last is the share of the rows that were not decoded.
    """
    with opened(content, kind) as image:
        _refuse_impossible_size(image.size)
        has_16_bits = kind == PNG and is_deep(image)
        stored = _stored(image, file, content, kind)
        undecoded = undecoded_fraction(image) if kind == JPEG else 0.0
        fields = read_exif(image)
        frame = turned_size(stored.shown, stored.orientation)
        description = describe(image, fields, frame, stored.orientation)
        icc = image.info.get("icc_profile") or None
        stated = stated_colours(content, kind, fields)
        target = turned_size(detail_size_px(*stored.shown), stored.to_turn)
        codes = None
        if has_16_bits and stated is not None and needs_16_bits(icc, stated):
            codes = deep_samples(image, content[:], target)
        if stated is not None and codes is not None:
            colours = Image.fromarray(srgb_pixels(codes, stated.encoding))
            profile = stated.name
        else:
            colours, profile = to_srgb(_on_white(image, stored, target), icc, stated)
    return stored.shown, profile, description, turn(colours, stored.to_turn), undecoded


def _stored(image: Image.Image, file: str, content: Content, kind: str) -> _Stored:
    """Decode an opened picture, or find its rows in the file."""
    in_place = rows_in_place(image, content) if isinstance(content, FileBytes) else None
    if in_place is not None:
        orientation = orientation_of(image)
        shown = turned_size(in_place.size, orientation)

        def rows(number: int) -> Iterator[Image.Image]:
            parts = in_place.read(number)
            while True:
                with refusing_what_fails(content, kind):
                    part = next(parts, None)
                if part is None:
                    return
                yield part

        return _Stored(rows, in_place.size, orientation, shown, orientation, is_whole=False)
    size = image.size
    orientation = load(image, content, kind, size_px=detail_size_px(*size), file=file)
    # A TIFF was turned while it was loaded, HEIC while it was opened.
    to_turn = UPRIGHT if kind == TIFF else orientation
    shown = image.size if kind == TIFF else turned_size(size, to_turn)
    if kind == HEIF:
        orientation = image.info.get("original_orientation") or UPRIGHT
    return _Stored(rows_of(image), image.size, to_turn, shown, orientation, is_whole=True)


def _on_white(image: Image.Image, stored: _Stored, target: Size) -> Image.Image:
    """The picture at a smaller size, with 8-bit samples on white; it may be closed afterwards."""
    tags = getattr(image, "tag_v2", {})
    if stored.is_whole and is_plain(image):
        small = shrunk(eight_bit_on_white(image, tags), target)
    else:
        factor = whole_factor(stored.size, target)
        parts = (
            eight_bit_on_white(part, tags)
            for part in stored.rows(n_rows_at_once(stored.size[0], factor))
        )
        small = resized(reduced_rows(parts, stored.size, factor), target)
    if small is not image:
        image.close()  # its pixels are the largest thing in memory
    return small


def _photograph(
    file: str,
    sha256: str,
    shown: Size,
    profile: str,
    description: Description,
    detail: Image.Image,
    undecoded: float,
) -> Photograph:
    working = detail
    if max(detail.size) > WORKING_SIDE_PX:
        # Hamming has no negative weights and so no overshoot: it adds no clipped pixels and no
        # false colours, and unlike the plain mean it shifts nothing by half a pixel.
        working = detail.resize(fitted(detail.size, WORKING_SIDE_PX), Image.Resampling.HAMMING)
    return Photograph(
        file=file,
        width=shown[0],
        height=shown[1],
        sha256=sha256,
        colour_profile=profile,
        camera=description.camera,
        regions=description.regions,
        creator=description.creator,
        copyright=description.copyright,
        pixels=_pixels(working),
        detail=_pixels(detail),
        undecoded_fraction=undecoded,
    )


def _pixels(image: Image.Image) -> NDArray[np.uint8]:
    """The (H, W, 3) pixels of an RGB picture; `numpy.array` would copy all of it three times."""
    pixels = np.empty((image.height, image.width, 3), np.uint8)
    for top in range(0, image.height, _ROWS_AT_ONCE):
        box = (0, top, image.width, min(image.height, top + _ROWS_AT_ONCE))
        pixels[top : box[3]] = np.asarray(image.crop(box))
    return pixels


def _refuse_impossible_size(size: Size) -> None:
    if min(size) <= 0:
        raise UnreadablePictureError(
            RefusalReason.NO_PIXELS,
            "The file describes a picture that is 0 pixels wide or high; export it again.",
        )
    if size[0] * size[1] > LARGEST_PICTURE_PX:
        raise UnreadablePictureError(
            RefusalReason.TOO_LARGE,
            # It may be damaged as well, and the size not true.
            f"The file says that the picture is {size[0]} by {size[1]} pixels, more than the "
            f"{LARGEST_PICTURE_PX // 1_000_000} megapixels that are decoded here; "
            "export it smaller.",
        )
