"""Reduce a picture to the size at which it is kept, without a second copy of its full size."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator

from PIL import Image

from auditor.photograph.photograph import DETAIL_SIDE_PX

# Half the long side of a 24-megapixel frame (6000 px), and a little less because some cameras give
# slightly smaller frames: what a reviewer sees at 50 %, and enough to judge sharpness. A picture is
# read at the coarsest of the scales below that keeps this many pixels on the long side.
DETAIL_ENOUGH_PX = 2900
_SCALES = (8, 4, 2)

# Rows are taken together until they have this many pixels: 4 MB in Pillow, which a processor's
# cache nearly holds, and so few calls that their own time does not count.
_PIXELS_AT_ONCE = 1_000_000

Size = tuple[int, int]
RowsReader = Callable[[int], Iterator[Image.Image]]


def detail_size_px(width: int, height: int) -> Size:
    """Width and height at which a picture's detail is kept, never larger than the picture."""
    longest = max(width, height)
    scale = next((s for s in _SCALES if longest / s >= DETAIL_ENOUGH_PX), 1)
    return fitted((math.ceil(width / scale), math.ceil(height / scale)), DETAIL_SIDE_PX)


def fitted(size: Size, side_px: int) -> Size:
    """The size reduced to at most `side_px` on its longest side; each side at least one pixel."""
    ratio = min(1.0, side_px / max(size))
    return (max(1, round(size[0] * ratio)), max(1, round(size[1] * ratio)))


def whole_factor(size: Size, target: Size) -> int:
    """The largest whole factor by which both sides can be divided without going below a target."""
    return max(1, min(size[0] // target[0], size[1] // target[1]))


def shrunk(image: Image.Image, target: Size) -> Image.Image:
    """Reduce by a whole factor with the mean over blocks, then by the rest with Lanczos.

    Lanczos keeps the sharpness even between pictures of different sizes.
    """
    factor = whole_factor(image.size, target)
    return resized(image.reduce(factor) if factor > 1 else image, target)


def resized(image: Image.Image, target: Size) -> Image.Image:
    """The picture at a size, by Lanczos; itself if it has that size."""
    return image if image.size == target else image.resize(target, Image.Resampling.LANCZOS)


def rows_of(image: Image.Image) -> RowsReader:
    """Give the rows of a loaded picture as pictures of a given number of rows, from the top."""

    def read(n_rows: int) -> Iterator[Image.Image]:
        for top in range(0, image.height, n_rows):
            yield image.crop((0, top, image.width, min(image.height, top + n_rows)))

    return read


def n_rows_at_once(width: int, factor: int) -> int:
    """How many rows to take together: a multiple of the factor by which they are reduced."""
    return max(1, _PIXELS_AT_ONCE // (width * factor)) * factor


def reduced_rows(parts: Iterable[Image.Image], size: Size, factor: int) -> Image.Image:
    """Reduce rows that follow each other by a whole factor, and put them together.

    Each block that is averaged lies within one part, so the result is the same as that of the
    whole picture.

    Parameters
    ----------
    parts : iterable of Image
        Rows from the top, each a multiple of `factor` high but the last.
    size : tuple of int
        Of the whole picture.
    factor : int
    """
    whole: Image.Image | None = None
    top = 0
    for part in parts:
        small = part.reduce(factor) if factor > 1 else part
        if whole is None:
            height = math.ceil(size[1] / factor)
            whole = Image.new(small.mode, (small.width, height))
        whole.paste(small, (0, top))
        top += small.height
    if whole is None:
        raise ValueError("a picture without rows")
    return whole
