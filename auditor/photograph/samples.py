"""Convert samples of every kind to 8-bit grey, RGB, CMYK or CIELAB on white.

The colours are still those of the file; `colour_management` converts them to sRGB.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.errors import UnreadablePictureError
from auditor.reasons import RefusalReason

Tags = Mapping[int, Any]  # of a TIFF, by number, as Pillow gives them

_BITS_PER_SAMPLE, _PHOTOMETRIC = 258, 262  # TIFF 6.0 tags
_WHITE_IS_ZERO = 0  # TIFF 6.0 PhotometricInterpretation
_FULL_8_BIT = 255
_DEFAULT_BITS = 16
# Rounding by a program that meant 0 and 1; a real highlight above white is far larger.
_FLOAT_SLACK = 1e-3

_PLAIN_MODES = frozenset(("L", "RGB", "CMYK", "LAB"))
_DEEP_MODES = frozenset(("I;16", "I;16L", "I;16B", "I;16N"))
_GREY_WITH_ALPHA = frozenset(("LA", "La"))


def is_plain(image: Image.Image) -> bool:
    """True if `eight_bit_on_white` would return the picture itself."""
    return image.mode in _PLAIN_MODES and "transparency" not in image.info


def eight_bit_on_white(image: Image.Image, tags: Tags) -> Image.Image:
    """Convert to 8-bit samples without transparency.

    16-bit grey is scaled (65535 becomes 255). Pillow itself reduces 16-bit RGB and CMYK to the
    upper byte, at most one level of 255 away. Float samples are taken as display-encoded in [0, 1].
    Transparent parts become white, the colour of paper.

    Parameters
    ----------
    image : Image
        Loaded, of any mode; the whole picture or a part of it.
    tags : mapping
        The tags of the TIFF that it is from; empty for other kinds.

    Returns
    -------
    Image
        Of mode L, RGB, CMYK or LAB.

    Raises
    ------
    UnreadablePictureError
        The value of white is unknown: 32-bit integers, floats outside [0, 1].
    """
    if image.mode in _DEEP_MODES:
        return _from_integers(image, tags)
    if image.mode == "I":
        raise _unsupported("32-bit or signed integer")
    if image.mode == "F":
        return _from_floats(image, tags)
    if image.mode == "1":
        return image.convert("L")
    if image.mode in _GREY_WITH_ALPHA:
        return _on_white(image.convert("LA"), "L")
    if image.mode in ("RGBA", "RGBa", "PA") or "transparency" in image.info:
        return _on_white(image.convert("RGBA"), "RGB")
    return image if image.mode in _PLAIN_MODES else image.convert("RGB")


def _on_white(image: Image.Image, mode: str) -> Image.Image:
    alpha = image.getchannel("A")
    colour = image.convert(mode)
    if alpha.getextrema() == (_FULL_8_BIT, _FULL_8_BIT):
        return colour
    page = Image.new(mode, image.size, "white")
    page.paste(colour, mask=alpha)
    return page


def _from_integers(image: Image.Image, tags: Tags) -> Image.Image:
    values = np.asarray(image).astype(np.uint32)
    full = 2 ** _bits_per_sample(tags) - 1
    scaled = (values * _FULL_8_BIT + full // 2) // full
    grey = np.minimum(scaled, _FULL_8_BIT).astype(np.uint8)
    return Image.fromarray(_white_as_highest(grey, tags))


def _from_floats(image: Image.Image, tags: Tags) -> Image.Image:
    values = np.asarray(image)
    # A NaN fails both comparisons, so it is refused too.
    if not (values.min() >= -_FLOAT_SLACK and values.max() <= 1 + _FLOAT_SLACK):
        raise _unsupported("floating-point (with values outside 0 to 1)")
    grey = np.rint(np.clip(values, 0, 1) * _FULL_8_BIT).astype(np.uint8)
    return Image.fromarray(_white_as_highest(grey, tags))


def _white_as_highest(grey: NDArray[np.uint8], tags: Tags) -> NDArray[np.uint8]:
    """Invert samples of which 0 is white; Pillow does that for 8-bit samples only."""
    return _FULL_8_BIT - grey if tags.get(_PHOTOMETRIC) == _WHITE_IS_ZERO else grey


def _bits_per_sample(tags: Tags) -> int:
    bits = tags.get(_BITS_PER_SAMPLE, (_DEFAULT_BITS,))
    return int(bits[0]) if isinstance(bits, tuple) else int(bits)


def _unsupported(samples: str) -> UnreadablePictureError:
    return UnreadablePictureError(
        RefusalReason.UNSUPPORTED,
        f"The picture has {samples} samples, whose value for white is unknown; "
        "export it again with 8 or 16 bits per channel.",
    )
