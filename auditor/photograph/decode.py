"""Read one picture: its file once, its pixels no larger than the measurements need."""

from __future__ import annotations

import errno
import hashlib
import math
import warnings
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.colorimetry import srgb_pixels
from auditor.errors import UnreadablePictureError
from auditor.photograph.colour_management import to_srgb
from auditor.photograph.containers import (
    HEIF,
    JPEG,
    PNG,
    TIFF,
    has_sound_checksums,
    recognise,
    recognise_foreign,
)
from auditor.photograph.decoder import load, opened
from auditor.photograph.deep_png import deep_channels
from auditor.photograph.description import describe
from auditor.photograph.exif import read_exif
from auditor.photograph.orientation import UPRIGHT, turn, turned_size
from auditor.photograph.photograph import DETAIL_SIDE_PX, WORKING_SIDE_PX, Photograph
from auditor.photograph.refusals import refusal_after
from auditor.photograph.regular_files import NotAFileError, read_regular
from auditor.photograph.samples import eight_bit_on_white
from auditor.photograph.stated_colours import StatedColours, needs_16_bits, stated_colours
from auditor.photograph.undecoded import undecoded_fraction
from auditor.reasons import RefusalReason

if TYPE_CHECKING:
    from auditor.photograph.description import Description

# Half the long side of a 24-megapixel frame (6000 px), and a little less because some cameras give
# slightly smaller frames: what a reviewer sees at 50 %, and enough to judge sharpness. A picture is
# read at the coarsest of the scales below that keeps this many pixels on the long side.
DETAIL_ENOUGH_PX = 2900
_SCALES = (8, 4, 2)

# The largest cameras give 150 megapixels, and stitched panoramas twice that; at 3 bytes per pixel
# this is 0.9 GB. Without a limit, a small file could be made to fill the memory.
LARGEST_PICTURE_PX = 300_000_000

_FULL_16_BIT = 65535


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
    data = _read_bytes(folder / file)
    kind = _kind_of(data)
    if not has_sound_checksums(data, kind):
        raise refusal_after(ValueError("checksum"), data, kind)
    with warnings.catch_warnings():
        # Pillow warns of odd metadata that change nothing here; errors that matter are raised.
        warnings.simplefilter("ignore")
        try:
            return _decode(file, data, kind)
        except MemoryError as error:
            raise refusal_after(error, data, kind) from error


def _read_bytes(path: Path) -> bytes:
    try:
        data = read_regular(path)
    except NotAFileError as error:
        raise UnreadablePictureError(
            RefusalReason.NOT_A_FILE,
            "It has a picture's name, but it is a pipe, a socket, a device or a folder, or a link "
            "to one; move it elsewhere, or put the picture in its place.",
        ) from error
    except PermissionError as error:
        raise UnreadablePictureError(
            RefusalReason.NO_PERMISSION,
            "You do not have permission to read the file; give yourself read permission.",
        ) from error
    except FileNotFoundError as error:
        raise UnreadablePictureError(
            RefusalReason.VANISHED,
            "The file is no longer there; it was moved, renamed or deleted, or it is a link to a "
            "file that does not exist. Put it back or run the audit again.",
        ) from error
    except (OSError, ValueError) as error:
        if isinstance(error, OSError) and error.errno == errno.ELOOP:
            raise UnreadablePictureError(
                RefusalReason.VANISHED,
                "It is a link that leads back to itself, so there is no file. Put the picture in "
                "its place, or remove it.",
            ) from error
        # Without the path that the system's own message has: nobody else need know it.
        why = error.strerror if isinstance(error, OSError) and error.strerror else error
        raise UnreadablePictureError(
            RefusalReason.DISK_FAULT,
            f"The file could not be read from the disk ({why}); check the disk or the network "
            "and copy the file again.",
        ) from error
    if not data:
        raise UnreadablePictureError(
            RefusalReason.EMPTY_FILE,
            "The file is empty, as after an interrupted copy; copy or export it again.",
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
            f"The file is a {foreign} picture, whatever its name, and such pictures are not read "
            "here; export it as JPEG, PNG or TIFF.",
        )
    raise UnreadablePictureError(
        RefusalReason.NOT_A_PICTURE,
        "The file is not a picture, although its name suggests one; "
        "export the picture again or move the file elsewhere.",
    )


def _decode(file: str, data: bytes, kind: str) -> Photograph:
    with opened(data, kind) as image:
        stored = image.size
        _refuse_impossible_size(stored)
        orientation = load(image, data, kind, size_px=detail_size_px(*stored), file=file)
        undecoded = undecoded_fraction(image) if kind == JPEG else 0.0
        # A TIFF was turned while it was loaded, HEIC while it was opened.
        to_turn = UPRIGHT if kind == TIFF else orientation
        shown = image.size if kind == TIFF else turned_size(stored, to_turn)
        if kind == HEIF:
            orientation = image.info.get("original_orientation") or UPRIGHT
        fields = read_exif(image)
        description = describe(image, fields, turned_size(shown, orientation), orientation)
        icc = image.info.get("icc_profile") or None
        target = turned_size(detail_size_px(*shown), to_turn)
        stated = stated_colours(data, kind, fields)
        deep = None
        if kind == PNG and stated is not None and needs_16_bits(icc, stated):
            deep = deep_channels(image, data)
        if stated is not None and deep is not None:
            colours, profile = _from_16_bits(deep, target, stated)
        else:
            colours, profile = to_srgb(_shrunk(eight_bit_on_white(image), target), icc, stated)
    photograph = _photograph(file, data, shown, profile, description, turn(colours, to_turn))
    return replace(photograph, undecoded_fraction=undecoded)


def _from_16_bits(
    channels: Sequence[NDArray[np.uint16]], target: tuple[int, int], stated: StatedColours
) -> tuple[Image.Image, str]:
    """The picture reduced and converted to sRGB, and the name of its encoding."""
    reduced = [
        np.asarray(_shrunk(Image.fromarray(channel.astype(np.float32)), target))
        for channel in channels
    ]
    codes = np.rint(np.clip(np.stack(reduced, axis=-1), 0, _FULL_16_BIT)).astype(np.uint16)
    return Image.fromarray(srgb_pixels(codes, stated.encoding)), stated.name


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
        # Hamming has no negative weights and so no overshoot: it adds no clipped pixels and no
        # false colours, and unlike the plain mean it shifts nothing by half a pixel.
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
    """Width and height at which a picture's detail is kept, never larger than the picture."""
    longest = max(width, height)
    scale = next((s for s in _SCALES if longest / s >= DETAIL_ENOUGH_PX), 1)
    return _fitted((math.ceil(width / scale), math.ceil(height / scale)), DETAIL_SIDE_PX)


def _fitted(size: tuple[int, int], side_px: int) -> tuple[int, int]:
    """The size reduced to at most `side_px` on its longest side; each side at least one pixel."""
    ratio = min(1.0, side_px / max(size))
    return (max(1, round(size[0] * ratio)), max(1, round(size[1] * ratio)))


def _shrunk(image: Image.Image, target: tuple[int, int]) -> Image.Image:
    """Reduce by a whole factor with the mean over blocks, then by the rest with Lanczos.

    Lanczos keeps the sharpness even between pictures of different sizes.
    """
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
