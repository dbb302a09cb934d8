"""One file becomes one photograph: read once, decoded no larger than the measurements need."""

from __future__ import annotations

import hashlib
import io
import math
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from auditor.errors import UnreadablePictureError
from auditor.photograph.colour_management import to_srgb
from auditor.photograph.containers import (
    HEIF,
    JPEG,
    TIFF,
    has_sound_checksums,
    recognise,
    recognise_foreign,
)
from auditor.photograph.description import describe
from auditor.photograph.orientation import UPRIGHT, orientation_of, turn, turned_size
from auditor.photograph.photograph import DETAIL_SIDE_PX, WORKING_SIDE_PX, Photograph
from auditor.photograph.refusals import refusal_after
from auditor.photograph.samples import eight_bit_on_white
from auditor.reasons import RefusalReason

if TYPE_CHECKING:
    from auditor.photograph.description import Description

# Half the side of a 24-megapixel frame (6000 px), a little less for makers who cut it narrower:
# what a reviewer sees at 50 %, and enough to judge sharpness by. A picture is read at the coarsest
# of these scales that keeps this many pixels.
DETAIL_ENOUGH_PX = 2900
_SCALES = (8, 4, 2)

# The largest cameras give 150 megapixels and stitched panoramas twice that; at 3 bytes a pixel
# this is 0.9 GB. Beyond it a small file may be made to fill the memory.
LARGEST_PICTURE_PX = 300_000_000

_opening = threading.Lock()  # guards Pillow's one limit for the process


def read_photograph(folder: Path, file: str) -> Photograph:
    """Read, decode and describe one picture.

    Colours come out in sRGB, the frame as displayed, transparency on white. `detail` is read at
    1/2, 1/4 or 1/8 of the full size where that leaves at least `DETAIL_ENOUGH_PX`, whatever the
    format, so that the same picture has the same detail as JPEG and as TIFF.

    Parameters
    ----------
    folder : Path
    file : str
        Path relative to it, with ``/``.

    Returns
    -------
    Photograph

    Raises
    ------
    UnreadablePictureError
        With a code of `RefusalReason` and a message that says what to do.
    """
    data = _read_bytes(folder / file)
    kind = _kind_of(data)
    with warnings.catch_warnings():
        # Pillow warns of odd metadata that change nothing here; whatever matters is raised.
        warnings.simplefilter("ignore")
        try:
            if not has_sound_checksums(data, kind):
                raise refusal_after(ValueError("checksum"), data, kind)
            return _decode(file, data, kind)
        except UnreadablePictureError:
            raise
        except Exception as error:
            # A damaged file can raise nearly anything from a decoder; all of it is about the file.
            raise refusal_after(error, data, kind) from error


def _read_bytes(path: Path) -> bytes:
    try:
        data = path.read_bytes()
    except PermissionError as error:
        raise UnreadablePictureError(
            RefusalReason.NO_PERMISSION,
            "The file may not be read by this user; give it read permission.",
        ) from error
    except FileNotFoundError as error:
        raise UnreadablePictureError(
            RefusalReason.VANISHED,
            "The file is no longer there; it was moved, renamed or deleted, or it is a link that "
            "leads nowhere. Put it back or run the audit again.",
        ) from error
    except (OSError, ValueError) as error:
        raise UnreadablePictureError(
            RefusalReason.DISK_FAULT,
            f"The file could not be read from the disk ({error}); check the disk or the network "
            "and copy the file again.",
        ) from error
    if not data:
        raise UnreadablePictureError(
            RefusalReason.EMPTY_FILE,
            "The file is empty, as after a copy that was broken off; copy or export it again.",
        )
    return data


def _kind_of(data: bytes) -> str:
    kind = recognise(data)
    if kind is not None:
        return kind
    foreign = recognise_foreign(data)
    if foreign is not None:
        raise UnreadablePictureError(
            RefusalReason.UNSUPPORTED,
            f"The file holds a {foreign} picture, which is not read here whatever its name; "
            "export it as JPEG, PNG or TIFF.",
        )
    raise UnreadablePictureError(
        RefusalReason.NOT_A_PICTURE,
        "The file's contents are not a picture, whatever its name says; "
        "export the picture again or move the file elsewhere.",
    )


def _decode(file: str, data: bytes, kind: str) -> Photograph:
    with _opened(data, kind) as image:
        _refuse_impossible_size(image.size)
        orientation, stored = orientation_of(image), image.size
        if kind == JPEG:
            image.draft(None, detail_size_px(*stored))
        image.load()
        # A TIFF turns itself while it is loaded, HEIC while it is opened.
        to_turn = UPRIGHT if kind == TIFF else orientation
        shown = image.size if kind == TIFF else turned_size(stored, to_turn)
        if kind == HEIF:
            orientation = image.info.get("original_orientation") or UPRIGHT
        description = describe(image, turned_size(shown, orientation), orientation)
        icc = image.info.get("icc_profile") or None
        target = turned_size(detail_size_px(*shown), to_turn)
        colours, profile = to_srgb(_shrunk(eight_bit_on_white(image), target), icc)
    return _photograph(file, data, shown, profile, description, turn(colours, to_turn))


def _photograph(
    file: str,
    data: bytes,
    shown: tuple[int, int],
    profile: str,
    description: Description,
    detail: Image.Image,
) -> Photograph:
    working = detail
    if max(detail.size) > WORKING_SIDE_PX:
        # Hamming has no negative weights, so no overshoot: it adds no clipped pixel and no false
        # colour; and unlike the plain mean it does not jump by half a pixel here and there.
        working = detail.resize(_fitted(detail.size, WORKING_SIDE_PX), Image.Resampling.HAMMING)
    return Photograph(
        file=file,
        width=shown[0],
        height=shown[1],
        sha256=hashlib.sha256(data).hexdigest(),
        colour_profile=profile,
        camera=description.camera,
        regions=description.regions,
        creator=description.creator,
        copyright=description.copyright,
        pixels=np.array(working),
        detail=np.array(detail),
    )


def detail_size_px(width: int, height: int) -> tuple[int, int]:
    """Size at which a picture's detail is kept: never larger than the picture."""
    longest = max(width, height)
    scale = next((s for s in _SCALES if longest / s >= DETAIL_ENOUGH_PX), 1)
    return _fitted((math.ceil(width / scale), math.ceil(height / scale)), DETAIL_SIDE_PX)


def _fitted(size: tuple[int, int], side_px: int) -> tuple[int, int]:
    """The size with its longest side brought down to `side_px`; each side at least one pixel."""
    ratio = min(1.0, side_px / max(size))
    return (max(1, round(size[0] * ratio)), max(1, round(size[1] * ratio)))


def _shrunk(image: Image.Image, target: tuple[int, int]) -> Image.Image:
    """Whole steps by the mean over blocks, the rest by Lanczos, which keeps the sharpness even."""
    if image.size == target:
        return image
    factor = min(image.width // target[0], image.height // target[1])
    if factor > 1:
        image = image.reduce(factor)
    if image.size == target:
        return image
    return image.resize(target, Image.Resampling.LANCZOS)


def _refuse_impossible_size(size: tuple[int, int]) -> None:
    if min(size) <= 0:
        raise UnreadablePictureError(
            RefusalReason.NO_PIXELS,
            "The file says that the picture is 0 pixels wide or high; export it again.",
        )
    if size[0] * size[1] > LARGEST_PICTURE_PX:
        raise UnreadablePictureError(
            RefusalReason.TOO_LARGE,
            f"The picture is {size[0]} by {size[1]} pixels, more than the "
            f"{LARGEST_PICTURE_PX // 1_000_000} megapixels that are decoded here; "
            "export it smaller.",
        )


@contextmanager
def _opened(data: bytes, kind: str) -> Iterator[Image.Image]:
    """The picture with its header read and nothing decoded yet."""
    stream = io.BytesIO(data)
    if kind == HEIF:
        image = _open_heif(stream)
    else:
        with _opening:
            # Pillow's own limit is below what cameras give; ours is checked right after.
            limit, Image.MAX_IMAGE_PIXELS = Image.MAX_IMAGE_PIXELS, None
            try:
                image = Image.open(stream, formats=(kind,))
            finally:
                Image.MAX_IMAGE_PIXELS = limit
    with image:
        yield image


def _open_heif(stream: io.BytesIO) -> Image.Image:
    try:
        from pillow_heif import HeifImageFile
    except ImportError as error:
        raise UnreadablePictureError(
            RefusalReason.UNSUPPORTED,
            "HEIC pictures need an addition to this program: pip install auditor[heif]",
        ) from error
    image: Image.Image = HeifImageFile(stream)
    return image
