"""Read the rows of an uncompressed TIFF from its file, some at a time.

Pillow would keep all of them, and a second copy where the picture is turned: for a picture of 100
megapixels 0.8 GB. Its own unpacking of samples is used, so that the pixels are the same.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Mapping
from itertools import pairwise
from typing import Any, NamedTuple

from PIL import Image, ImageFile

from auditor.photograph.file_bytes import FileBytes

_RAW = "raw"  # Pillow's name of samples that are not compressed
_WIDTH, _HEIGHT, _BITS, _SAMPLES, _PLANAR = 256, 257, 258, 277, 284  # TIFF 6.0 tags
_INTERLEAVED = 1
# Of other depths the number of bytes in a row is not simply that of its samples.
_WHOLE_BYTES = frozenset((8, 16))
_TOP_DOWN = 1


class _Strip(NamedTuple):
    """Rows that follow each other in the file, where the first begins, and Pillow's layout name."""

    top: int
    bottom: int
    offset: int
    layout: str


class TiffRows(NamedTuple):
    """The rows of a TIFF as they lie in its file.

    Attributes
    ----------
    size : tuple of int
        Width and height in pixels, before the picture is turned.
    read : callable
        Called with the number of rows to read at a time, gives an iterator over pictures of that
        many rows, from the top; the last has fewer. Raises OSError if the file ends too early.
    """

    size: tuple[int, int]
    read: Callable[[int], Iterator[Image.Image]]


def rows_in_place(image: Image.Image, content: FileBytes) -> TiffRows | None:
    """The rows of an opened TIFF; None if they are compressed or laid out in another way.

    Parameters
    ----------
    image : Image
        Opened, not loaded.
    content : FileBytes
        Its file.
    """
    if not isinstance(image, ImageFile.ImageFile):
        return None
    tags: Mapping[int, Any] = getattr(image, "tag_v2", {})
    size = (int(tags.get(_WIDTH, 0)), int(tags.get(_HEIGHT, 0)))
    strips, row_bytes = _strips(image, size), _row_bytes(tags, size[0])
    if strips is None or row_bytes is None:
        return None
    layout = strips[0].layout

    def read(n_rows: int) -> Iterator[Image.Image]:
        for top in range(0, size[1], n_rows):
            bottom = min(size[1], top + n_rows)
            data = b"".join(_parts(content, strips, row_bytes, top, bottom))
            if len(data) < (bottom - top) * row_bytes:
                raise OSError("image file is truncated")
            rows = Image.frombytes(
                image.mode, (size[0], bottom - top), data, _RAW, layout, 0, _TOP_DOWN
            )
            if image.palette is not None:
                rows.putpalette(image.palette)
            rows.info = image.info
            yield rows

    return TiffRows(size, read)


def _strips(image: ImageFile.ImageFile, size: tuple[int, int]) -> list[_Strip] | None:
    """The strips, if each has all columns and they follow each other from top to bottom."""
    strips = []
    for tile in image.tile:
        left, top, right, bottom = tile.extents or (0, 0, 0, 0)
        # The rows of a strip follow each other without a gap, from the top.
        is_plain = isinstance(tile.args, tuple) and tile.args[1:] == (0, _TOP_DOWN)
        if tile.codec_name != _RAW or (left, right) != (0, size[0]) or not is_plain:
            return None
        strips.append(_Strip(top, bottom, tile.offset, str(tile.args[0] if tile.args else "")))
    follow = all(above.bottom == below.top for above, below in pairwise(strips))
    if not strips or not follow or len({strip.layout for strip in strips}) != 1:
        return None
    return strips if (strips[0].top, strips[-1].bottom) == (0, size[1]) else None


def _row_bytes(tags: Mapping[int, Any], width: int) -> int | None:
    bits = tags.get(_BITS, ())
    if len(bits) != tags.get(_SAMPLES, 1) or tags.get(_PLANAR, _INTERLEAVED) != _INTERLEAVED:
        return None
    return width * sum(bits) // 8 if set(bits) <= _WHOLE_BYTES else None


def _parts(
    content: FileBytes, strips: list[_Strip], row_bytes: int, top: int, bottom: int
) -> Iterator[bytes]:
    first_strip = bisect_right(strips, top, key=lambda strip: strip.top) - 1
    for strip in strips[first_strip:]:
        if strip.top >= bottom:
            return
        first, last = max(top, strip.top), min(bottom, strip.bottom)
        if first < last:
            start = strip.offset + (first - strip.top) * row_bytes
            yield content[start : start + (last - first) * row_bytes]
