"""What is known of a file without decoding its pixels."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass

from PIL import Image, ImageCms

from auditor.delivery.metadata import Metadata, read_metadata
from auditor.photograph.containers import HEIF, JPEG, PNG, TIFF, WEBP, recognise
from auditor.photograph.decoder import opened
from auditor.photograph.exif import fields_before_pixels
from auditor.photograph.orientation import UPRIGHT, orientation_of, turned_size
from auditor.photograph.stated_colours import stated_colours

KINDS = {HEIF: "HEIC", WEBP: "WebP"}  # by the names that rules have; the others are the same
_BITS_PER_SAMPLE = 258  # TIFF 6.0 tag
_PNG_BITS_AT = 24  # place of the bit depth in a PNG (ISO/IEC 15948, 11.2.2)
_LONGEST_NAME = 100
# Links between two devices and lists of named colours (ICC.1:2022, 7.2.5). Abstract profiles stay:
# those of CIELAB are written as such.
_NOT_OF_PICTURES = frozenset(("link", "nmcl"))
_COLOURS = {"CMYK": "CMYK", "RGB": "RGB", "RGBA": "RGB", "P": "RGB", "PA": "RGB", "YCbCr": "RGB"}
_COLOURS |= dict.fromkeys(("1", "L", "LA", "La", "I", "F", "I;16", "I;16B", "I;16L"), "grey")


@dataclass(frozen=True, slots=True)
class FileFacts:
    """What is known of a file; None for each that could not be read.

    Attributes
    ----------
    n_bytes : int or None
    kind : str or None
        ``"JPEG"``, ``"PNG"``, ``"TIFF"``, ``"WebP"``, ``"AVIF"``, ``"HEIC"``, by its contents.
    size_px : tuple of int or None
        Width and height as displayed.
    bits : int or None
        Per channel.
    colours : str or None
        ``"RGB"``, ``"CMYK"``, ``"grey"``.
    profile : str or None
        Name of the embedded ICC profile.
    has_unreadable_profile : bool
    stated : str or None
        Encoding that the file states without a profile.
    metadata : Metadata or None
    """

    n_bytes: int | None = None
    kind: str | None = None
    size_px: tuple[int, int] | None = None
    bits: int | None = None
    colours: str | None = None
    profile: str | None = None
    has_unreadable_profile: bool = False
    stated: str | None = None
    metadata: Metadata | None = None


def facts_of(data: bytes) -> FileFacts:
    """Read the facts of a file; whatever is broken in it, no error is raised."""
    kind = recognise(data)
    if kind is None:
        return FileFacts(len(data))
    named = KINDS.get(kind, kind)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of odd metadata
            with opened(data, kind) as image:
                return _of_image(image, data, kind)
    except Exception:  # a damaged file can raise nearly any error in a decoder
        return FileFacts(len(data), named)


def _of_image(image: Image.Image, data: bytes, kind: str) -> FileFacts:
    icc = image.info.get("icc_profile")
    stated = stated_colours(data, kind, fields_before_pixels(image))
    bits, colours = _bits(image, data, kind), _COLOURS.get(image.mode)
    # A TIFF turns itself while it is loaded, HEIC while it is opened.
    orientation = UPRIGHT if kind == HEIF else orientation_of(image)
    has_profile = isinstance(icc, bytes) and bool(icc)
    profile = _profile_name(icc) if isinstance(icc, bytes) and icc else None
    return FileFacts(
        n_bytes=len(data),
        kind=KINDS.get(kind, kind),
        size_px=turned_size(image.size, orientation),
        bits=bits,
        colours=colours,
        profile=profile,
        has_unreadable_profile=has_profile and profile is None,
        stated=None if stated is None else stated.name,
        metadata=read_metadata(image),
    )


def _bits(image: Image.Image, data: bytes, kind: str) -> int | None:
    value: object = None
    if kind == PNG:
        value = data[_PNG_BITS_AT]
    elif kind == TIFF:
        tags = getattr(image, "tag_v2", {})
        value = max(tags.get(_BITS_PER_SAMPLE, (1,)), default=None)
    elif kind == JPEG:
        value = getattr(image, "bits", None)
    elif kind == WEBP:
        value = 8  # RFC 9649: WebP has no other
    elif kind == HEIF:
        value = image.info.get("bit_depth")
    return value if isinstance(value, int) else None


def _profile_name(icc: bytes) -> str | None:
    """The description of a profile (ICC.1:2022, 9.2.41); None if it is no profile of pictures."""
    try:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(icc)).profile
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return None
    if profile.device_class.strip() in _NOT_OF_PICTURES:
        return None
    raw = profile.profile_description or ""
    return "".join(c for c in raw if c.isprintable()).strip()[:_LONGEST_NAME] or "unnamed"
