"""The 16 bits of a PNG's samples, of which Pillow keeps the upper 8 in colour pictures.

They are kept only where 8 bits are too coarse: where the encoding that a PNG states has steps that
are visible after its conversion to sRGB, such as linear light.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFile

from auditor.photograph.containers import PNG, png_without_metadata
from auditor.photograph.decoder import opened

# Pillow's names of the layouts whose upper byte it takes, and those that take the other byte.
_OTHER_BYTE = {"RGB;16B": "RGB;16L", "RGBA;16B": "RGBA;16L"}
_GREY = "I;16"
_OPAQUE = 255


def deep_channels(image: Image.Image, data: bytes) -> tuple[NDArray[np.uint16], ...] | None:
    """Red, green and blue of a loaded PNG, each (H, W), full scale 65535.

    Returns
    -------
    tuple of three arrays or None
        None if the samples have fewer bits, or the picture has transparent parts.
    """
    if image.mode == _GREY:
        grey = np.asarray(image).astype(np.uint16)
        return (grey, grey, grey)
    lower = _lower_bytes(data)
    if lower is None or lower.mode != image.mode or not _is_opaque(image):
        return None
    return tuple(
        np.asarray(image.getchannel(name)).astype(np.uint16) * 256
        + np.asarray(lower.getchannel(name))
        for name in "RGB"
    )


def _lower_bytes(data: bytes) -> Image.Image | None:
    """The picture made of the lower byte of each sample; None if samples have one byte."""
    # Metadata behind the pixels may be broken; they are not needed.
    with opened(png_without_metadata(data), PNG) as picture:
        if not isinstance(picture, ImageFile.ImageFile):
            return None
        layouts = [_OTHER_BYTE.get(str(tile.args)) for tile in picture.tile]
        if None in layouts:
            return None
        picture.tile = [
            tile._replace(args=layout) for tile, layout in zip(picture.tile, layouts, strict=True)
        ]
        picture.load()
        return picture.copy()


def _is_opaque(image: Image.Image) -> bool:
    return "transparency" not in image.info and (
        "A" not in image.getbands() or image.getchannel("A").getextrema() == (_OPAQUE, _OPAQUE)
    )
