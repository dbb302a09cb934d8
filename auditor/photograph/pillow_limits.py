"""Raise Pillow's own limits while a picture is read; ours are stricter where it matters.

Pillow counts pixels, and takes a PNG as broken whose colour profile is over 1 MB. Profiles of
printers have 1 to 3 MB, and an editing history in XMP can be larger. The limits are one for the
process, so a program that calls auditor gets them back as they were.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from PIL import Image, PngImagePlugin

# Of one profile or text in a PNG, unpacked. Ten times what the largest known profiles have (common
# practice, no source); a small file can be packed to unpack to far more.
LARGEST_PNG_TEXT_BYTES = 32 * 1024 * 1024

_guard = threading.Lock()


class _Raised:
    """How many blocks are running, and the limits as they were before the first."""

    n_blocks = 0
    before: tuple[int | None, int, int] = (None, 0, 0)


@contextmanager
def pillow_limits_raised() -> Iterator[None]:
    """Pillow opens and loads pictures of any size, and PNGs with large profiles and texts.

    All texts of a PNG together may have twice `LARGEST_PNG_TEXT_BYTES`. Blocks may run in several
    threads at the same time.
    """
    with _guard:
        if not _Raised.n_blocks:
            _Raised.before = (
                Image.MAX_IMAGE_PIXELS,
                PngImagePlugin.MAX_TEXT_CHUNK,
                PngImagePlugin.MAX_TEXT_MEMORY,
            )
            _set(None, LARGEST_PNG_TEXT_BYTES, 2 * LARGEST_PNG_TEXT_BYTES)
        _Raised.n_blocks += 1
    try:
        yield
    finally:
        with _guard:
            _Raised.n_blocks -= 1
            if not _Raised.n_blocks:
                _set(*_Raised.before)


def _set(n_pixels: int | None, text_chunk: int, text_memory: int) -> None:
    Image.MAX_IMAGE_PIXELS = n_pixels
    PngImagePlugin.MAX_TEXT_CHUNK = text_chunk
    PngImagePlugin.MAX_TEXT_MEMORY = text_memory
