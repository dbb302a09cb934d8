"""What decoding a picture takes of the memory, estimated before it is decoded, and the limit.

The estimate is the peak of the decoder and of what is kept beside it: the file's bytes where they
are read whole, the decoder's own buffers, and Pillow's storage. It was measured with
``tests/benchmarks/bench_memory.py``, Pillow 13 and pillow-heif 1.8; the smaller copies that are
made of it afterwards, at most 4096 pixels on a side, are not counted.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from PIL import Image

from auditor.errors import UnreadablePictureError
from auditor.photograph.containers import (
    AVIF,
    HEIF,
    JPEG,
    PNG,
    TIFF,
    WEBP,
    has_jpeg_several_scans,
)
from auditor.photograph.file_bytes import Content
from auditor.photograph.orientation import UPRIGHT
from auditor.reasons import RefusalReason

# A worker may take this much for one picture, beside about 0.3 GB for the program and the
# measurements. It holds a PNG of 240 megapixels with 8 or 16 bits, more than any camera gives, and
# two workers stay within 3 GB, which a computer of 4 GB has to spare. A larger file is not opened.
LARGEST_PICTURE_BYTES = 1_000_000_000

# Pillow stores one, two or four bytes a pixel, whatever the file has; 16-bit colour becomes 8-bit.
_BYTES_BY_MODE = {"1": 1, "L": 1, "P": 1, "I;16": 2, "I;16B": 2, "I;16L": 2, "I;16N": 2}
_BYTES_OF_COLOUR = 4

# A JPEG in several scans, as all progressive ones, is kept as coefficients of 16 bits at full size.
_COEFFICIENT_BYTES = 2
# The decoder's frames, its result, Pillow's copy of that and its storage, in bytes a pixel. WebP: 8
# for two canvases, 4 if it is without loss, 4, 4; measured 16 with loss. AVIF and HEIC: up to 8 for
# 10 bits and transparency, 4, 4, 4; measured 9.5 for AVIF with 8 bits.
_WHOLE_FRAME_BYTES = {WEBP: 20, AVIF: 20, HEIF: 20}
# Of a file that these libraries copy: theirs, Pillow's and ours.
_COPIES_OF_FILE = {WEBP: 3, AVIF: 3, HEIF: 2, PNG: 2}

_TIFF_BITS, _TIFF_ROWS, _TIFF_TILE_ROWS, _TIFF_ORIENTATION = 258, 278, 323, 274
_TIFF_SAMPLES = 277
_MB = 1_000_000


def refuse_large_file(n_bytes: int) -> None:
    """Refuse a file that is not read at all because of its size in bytes.

    Raises
    ------
    UnreadablePictureError
        ``too_large``.
    """
    if n_bytes > LARGEST_PICTURE_BYTES:
        raise UnreadablePictureError(
            RefusalReason.TOO_LARGE,
            f"The file has {_megabytes(n_bytes)}, more than the {_megabytes(LARGEST_PICTURE_BYTES)}"
            " that are read here for one picture; export the finished picture without layers, or"
            " as JPEG.",
        )


def refuse_costly_frame(size: tuple[int, int], kind: str, content: Content) -> None:
    """Refuse a picture whose decoder would take too much memory as soon as it is opened.

    Parameters
    ----------
    size : tuple of int
        Width and height in pixels that its header declares.
    kind, content : str, Content
        The file.

    Raises
    ------
    UnreadablePictureError
        ``too_large``.
    """
    if kind in _WHOLE_FRAME_BYTES:
        _refuse_above_limit(size, _whole_frame_bytes(size, kind, content))


def refuse_costly(image: Image.Image, size: tuple[int, int], kind: str, content: Content) -> None:
    """Refuse an opened picture that would take too much memory to decode.

    Parameters
    ----------
    image : Image
        Opened, not loaded; a JPEG as it will be decoded, after `draft`.
    size : tuple of int
        Full width and height in pixels.
    kind, content : str, Content
        The file.

    Raises
    ------
    UnreadablePictureError
        ``too_large``.
    """
    _refuse_above_limit(size, decoding_bytes(image, size, kind, content))


def decoding_bytes(image: Image.Image, size: tuple[int, int], kind: str, content: Content) -> int:
    """Bytes that decoding takes at its peak; parameters as for `refuse_costly`."""
    if kind in _WHOLE_FRAME_BYTES:
        return _whole_frame_bytes(size, kind, content)
    stored = image.width * image.height * _BYTES_BY_MODE.get(image.mode, _BYTES_OF_COLOUR)
    if kind == TIFF:
        return _tiff_bytes(image, stored)
    n_bytes = stored + _COPIES_OF_FILE.get(kind, 1) * len(content)
    if kind == JPEG and isinstance(content, bytes):
        in_scans = "progressive" in image.info or has_jpeg_several_scans(content)
        return n_bytes + (_coefficient_bytes(image, size) if in_scans else 0)
    return n_bytes


def _whole_frame_bytes(size: tuple[int, int], kind: str, content: Content) -> int:
    return size[0] * size[1] * _WHOLE_FRAME_BYTES[kind] + _COPIES_OF_FILE[kind] * len(content)


def _coefficient_bytes(image: Image.Image, size: tuple[int, int]) -> int:
    """Of all components, each with its share of the samples (ITU-T T.81, A.1.1)."""
    factors: list[tuple[int, int]] = [layer[1:3] for layer in getattr(image, "layer", ())]
    widest, highest = (max((f[i] for f in factors), default=1) for i in (0, 1))
    share = sum(f[0] * f[1] for f in factors) / max(1, widest * highest)
    return round(size[0] * size[1] * share) * _COEFFICIENT_BYTES


def _tiff_bytes(image: Image.Image, stored: int) -> int:
    """A TIFF that is decoded whole: its frame, again if it is turned, and a strip or row of tiles.

    The file itself is mapped: the system can take its pages back at any time.
    """
    tags: Mapping[int, Any] = getattr(image, "tag_v2", {})
    n_turned = 1 if tags.get(_TIFF_ORIENTATION, UPRIGHT) == UPRIGHT else 2
    rows = tags.get(_TIFF_TILE_ROWS) or tags.get(_TIFF_ROWS) or image.height
    rows = min(rows, image.height) if isinstance(rows, int) else image.height
    bits = tags.get(_TIFF_BITS, (8,))
    n_bits = max(bits, default=8) * int(tags.get(_TIFF_SAMPLES, 1))
    return stored * n_turned + int(image.width * rows * n_bits) // 8


def _refuse_above_limit(size: tuple[int, int], n_bytes: int) -> None:
    if n_bytes > LARGEST_PICTURE_BYTES:
        raise UnreadablePictureError(
            RefusalReason.TOO_LARGE,
            f"The picture is {size[0]} by {size[1]} pixels; decoding it in this format needs about"
            f" {_megabytes(n_bytes)} of memory, more than the {_megabytes(LARGEST_PICTURE_BYTES)}"
            " that are allowed for one picture. Export it smaller, or as JPEG.",
        )


def _megabytes(n_bytes: int) -> str:
    return f"{n_bytes / _MB:,.0f} MB"
