"""The 16 bits of a PNG's samples, of which Pillow keeps the upper 8 in colour pictures.

They are kept only where 8 bits are too coarse: where the encoding that a PNG states has steps that
are visible after its conversion to sRGB, such as linear light.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFile

from auditor.photograph.containers import PNG, png_without_metadata
from auditor.photograph.decoder import load, opened
from auditor.photograph.shrinking import (
    Size,
    n_rows_at_once,
    reduced_rows,
    resized,
    rows_of,
    whole_factor,
)

# Pillow's names of the layouts whose upper byte it takes, and those that take the other byte.
_OTHER_BYTE = {"RGB;16B": "RGB;16L", "RGBA;16B": "RGBA;16L"}
_GREY = "I;16"
_OPAQUE = 255
_FULL_16_BIT = 65535
_UPPER = 256


def is_deep(image: Image.Image) -> bool:
    """True if an opened PNG, not loaded yet, has 16-bit samples that are grey or colours."""
    layouts = (
        {str(tile.args) for tile in image.tile} if isinstance(image, ImageFile.ImageFile) else set()
    )
    return image.mode == _GREY or (bool(layouts) and layouts <= _OTHER_BYTE.keys())


def deep_samples(image: Image.Image, data: bytes, target: Size) -> NDArray[np.uint16] | None:
    """Red, green and blue of a PNG at a smaller size, (H, W, 3), full scale 65535.

    The upper and the lower bytes are reduced one after the other, so that the memory never holds
    both at full size: the mean of the samples is 256 times that of the upper bytes and once that of
    the lower ones.

    Parameters
    ----------
    image : Image
        Loaded; `is_deep` was true of it.
    data : bytes
        Its file.
    target : tuple of int
        Width and height.

    Returns
    -------
    array or None
        None if the picture has transparent parts; it is then still loaded, else it is closed.
    """
    codes = np.empty((target[1], target[0], 3), np.uint16)
    if image.mode == _GREY:
        codes[...] = _in_range(_reduced(image, "I", target))[..., np.newaxis]
        return codes
    if not _is_opaque(image):
        return None
    upper = {name: _reduced(image, name, target) for name in "RGB"}
    image.close()
    # Metadata behind the pixels may be broken; they are not needed.
    pixels = png_without_metadata(data)
    with opened(pixels, PNG) as lower:
        if not isinstance(lower, ImageFile.ImageFile):
            raise TypeError("a PNG that is no file")
        lower.tile = [tile._replace(args=_OTHER_BYTE[str(tile.args)]) for tile in lower.tile]
        load(lower, pixels, PNG, size_px=lower.size, file="")
        for place, name in enumerate("RGB"):
            whole = upper.pop(name) * _UPPER
            whole += _reduced(lower, name, target)
            codes[..., place] = _in_range(whole)
    return codes


def _in_range(samples: NDArray[np.float32]) -> NDArray[np.float32]:
    """Rounded to whole codes; Lanczos can exceed the range."""
    return np.rint(np.clip(samples, 0, _FULL_16_BIT))


def _reduced(image: Image.Image, band: str, target: Size) -> NDArray[np.float32]:
    """One channel at a smaller size."""
    factor = whole_factor(image.size, target)
    parts = (
        Image.fromarray(np.asarray(_channel(part, band)).astype(np.float32))
        for part in rows_of(image)(n_rows_at_once(image.width, factor))
    )
    return np.asarray(resized(reduced_rows(parts, image.size, factor), target))


def _channel(image: Image.Image, band: str) -> Image.Image:
    return image if image.mode == _GREY else image.getchannel(band)


def _is_opaque(image: Image.Image) -> bool:
    return "transparency" not in image.info and (
        "A" not in image.getbands()
        or all(
            part.getchannel("A").getextrema() == (_OPAQUE, _OPAQUE)
            for part in rows_of(image)(n_rows_at_once(image.width, 1))
        )
    )
