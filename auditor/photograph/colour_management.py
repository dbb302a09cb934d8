"""Convert the colours of a file to sRGB by its ICC profile, or by what it states without one.

The rendering intent is relative colorimetric with black-point compensation: colours inside sRGB
stay as they are, so that the measurements describe what the photographer saw. The perceptual intent
would also move these colours, by an amount that each profile's maker chose; between matrix profiles
(Display P3, Adobe RGB, ProPhoto) the two intents do not differ (ICC.1:2022, section 6.2).
"""

from __future__ import annotations

import io
from functools import cache, lru_cache

import numpy as np
from PIL import Image, ImageCms

from auditor.colorimetry import srgb_pixels
from auditor.photograph.stated_colours import StatedColours

ASSUMED_SRGB = "sRGB (assumed)"
UNREADABLE_PROFILE = "unreadable profile, sRGB assumed"
CMYK_WITHOUT_PROFILE = "CMYK without a profile, converted by formula"
CIELAB = "CIELAB"

_INTENT = ImageCms.Intent.RELATIVE_COLORIMETRIC
_FLAGS = ImageCms.Flags.BLACKPOINTCOMPENSATION

# A profile that changes no colour by more than rounding does is sRGB, whatever its name, and need
# not be applied: that saves a third of the time of most pictures.
_ROUNDING_LEVELS = 1
_PROBE_STEPS = 9  # 729 colours, evenly spread over the RGB cube

_N_CACHED_TRANSFORMS = 8  # a set has one or two profiles
_LONGEST_NAME = 100  # characters; the field is free text of any length

# ICC colour space signature by Pillow's mode.
_SPACES = {"L": "GRAY", "RGB": "RGB", "CMYK": "CMYK", "LAB": "LAB"}


def to_srgb(
    image: Image.Image, icc: bytes | None, stated: StatedColours | None
) -> tuple[Image.Image, str]:
    """Convert a picture to sRGB.

    Parameters
    ----------
    image : Image
        Of mode L, RGB, CMYK or LAB, 8-bit.
    icc : bytes or None
        The embedded profile.
    stated : StatedColours or None
        The encoding that the file states otherwise. It does not apply to CMYK and CIELAB.

    Returns
    -------
    Image
        Of mode RGB, sRGB.
    str
        Name of the profile or of the encoding that was applied, or the assumption that was made
        without either.
    """
    if icc is None or (stated is not None and stated.goes_before_profile):
        return _without_profile(image, stated)
    try:
        return _with_profile(image, icc, stated)
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        converted, assumed = _without_profile(image, stated)
        if assumed == ASSUMED_SRGB:
            return converted, UNREADABLE_PROFILE
        return converted, f"unreadable profile, {assumed}"


def _without_profile(image: Image.Image, stated: StatedColours | None) -> tuple[Image.Image, str]:
    if image.mode == "LAB":
        converted = ImageCms.applyTransform(image, _from_lab())
        return _never_none(converted), CIELAB
    rgb = image if image.mode == "RGB" else image.convert("RGB")  # a copy, of many megabytes
    if image.mode == "CMYK":
        return rgb, CMYK_WITHOUT_PROFILE
    if stated is None:
        return rgb, ASSUMED_SRGB
    if stated.encoding.is_srgb:
        return rgb, stated.name
    return Image.fromarray(srgb_pixels(np.asarray(rgb), stated.encoding)), stated.name


def _with_profile(
    image: Image.Image, icc: bytes, stated: StatedColours | None
) -> tuple[Image.Image, str]:
    space, name = _describe(icc)
    if image.mode == "L" and space == "RGB":
        image = image.convert("RGB")
    if space != _SPACES[image.mode]:
        converted, assumed = _without_profile(image, stated)
        return converted, f"{name} (does not fit the picture), {assumed}"
    transform = _transform(icc, image.mode)
    if transform is None:
        return image, name
    return _never_none(ImageCms.applyTransform(image, transform)), name


def _describe(icc: bytes) -> tuple[str, str]:
    """Colour space signature and printable name of a profile."""
    profile = ImageCms.ImageCmsProfile(io.BytesIO(icc)).profile
    raw = profile.profile_description or ""
    name = "".join(c for c in raw if c.isprintable()).strip()[:_LONGEST_NAME]
    return profile.xcolor_space.strip().upper(), name or "unnamed profile"


@lru_cache(maxsize=_N_CACHED_TRANSFORMS)
def _transform(icc: bytes, mode: str) -> ImageCms.ImageCmsTransform | None:
    """The transform from a profile to sRGB; None if it would change nothing."""
    source = ImageCms.ImageCmsProfile(io.BytesIO(icc))
    transform = ImageCms.buildTransform(source, _srgb(), mode, "RGB", _INTENT, _FLAGS)
    if mode != "RGB":
        return transform
    probe = _colour_cube()
    change = np.subtract(
        np.asarray(_never_none(ImageCms.applyTransform(probe, transform)), dtype=np.int16),
        np.asarray(probe, dtype=np.int16),
    )
    return None if np.abs(change).max() <= _ROUNDING_LEVELS else transform


@cache
def _srgb() -> ImageCms.ImageCmsProfile:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))


@cache
def _from_lab() -> ImageCms.ImageCmsTransform:
    # D50 is the white of CIELAB in a profile connection space and in TIFF files.
    lab = ImageCms.createProfile("LAB", 5000)
    return ImageCms.buildTransform(lab, _srgb(), "LAB", "RGB", _INTENT, _FLAGS)


def _colour_cube() -> Image.Image:
    levels = np.linspace(0, 255, _PROBE_STEPS).round().astype(np.uint8)
    cube = np.stack(np.meshgrid(levels, levels, levels), axis=-1).reshape(_PROBE_STEPS, -1, 3)
    return Image.fromarray(np.ascontiguousarray(cube))


def _never_none(image: Image.Image | None) -> Image.Image:
    """The result of a transform that does not work in place; its type allows None."""
    if image is None:
        raise ValueError("a colour transform gave no picture")
    return image
