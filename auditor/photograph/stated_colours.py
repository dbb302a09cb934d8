"""The colour encoding that a file states without an ICC profile.

- PNG (W3C, third edition, 4.3): ``cICP`` goes before ``iCCP``, that before ``sRGB``, and that
  before ``gAMA`` and ``cHRM``.
- AVIF and HEIC: the code points of a ``colr`` box; an ICC profile goes before them.
- EXIF (CIPA DC-008): ColorSpace 1 is sRGB. Cameras write Adobe RGB as ColorSpace 0xFFFF with the
  interoperability index R03 (DCF 2.0, CIPA DC-009).
"""

from __future__ import annotations

import struct
from typing import TYPE_CHECKING, NamedTuple

import piexif

from auditor.colorimetry import (
    ADOBE_RGB,
    SRGB,
    Primaries,
    RgbEncoding,
    h273_encoding,
    linear_srgb_matrix,
    power_encoding,
)
from auditor.photograph.containers import AVIF, HEIF, PNG, png_chunks
from auditor.photograph.file_bytes import Content, FileBytes
from auditor.photograph.item_properties import code_points

if TYPE_CHECKING:
    from auditor.photograph.exif import ExifFields

_RGB_MATRIX, _FULL_RANGE = 0, 1  # MatrixCoefficients and VideoFullRangeFlag of a PNG's cICP
_PNG_UNIT = 100_000  # gAMA and cHRM are integers in units of 1/100000
_BEFORE_PIXELS = b"IDAT"

_EXIF_SRGB, _EXIF_UNCALIBRATED = 1, 0xFFFF
_ADOBE_RGB_INDEX = b"R03"


class StatedColours(NamedTuple):
    """An encoding, where it is stated, and whether that goes before an ICC profile."""

    encoding: RgbEncoding
    source: str
    goes_before_profile: bool = False

    @property
    def name(self) -> str:
        """For the record."""
        return f"{self.encoding.name} ({self.source})"


def stated_colours(data: Content, kind: str, fields: ExifFields) -> StatedColours | None:
    """The encoding that a file states outside an ICC profile; None without one.

    Parameters
    ----------
    data, kind : Content, str
        The file and its kind, as `auditor.photograph.containers.recognise` named it.
    fields : ExifFields
    """
    stated = None
    if isinstance(data, FileBytes):  # a TIFF, which states it in EXIF alone
        return _of_exif(fields)
    if kind == PNG:
        stated = _of_png(data)
    elif kind in (AVIF, HEIF):
        points = code_points(data)
        encoding = None if points is None else h273_encoding(*points)
        stated = None if encoding is None else StatedColours(encoding, "nclx")
    return stated or _of_exif(fields)


def needs_16_bits(icc: bytes | None, stated: StatedColours) -> bool:
    """True if the stated encoding applies and 8 bits of it are too coarse."""
    applies = icc is None or stated.goes_before_profile
    return applies and stated.encoding.needs_16_bits


def _of_exif(fields: ExifFields) -> StatedColours | None:
    space = fields.photo.get(piexif.ExifIFD.ColorSpace)
    if space == _EXIF_SRGB:
        return StatedColours(SRGB, "EXIF")
    index = fields.interoperability.get(piexif.InteropIFD.InteroperabilityIndex)
    is_adobe = isinstance(index, bytes) and index.rstrip(b"\0 ") == _ADOBE_RGB_INDEX
    if space == _EXIF_UNCALIBRATED and is_adobe:
        return StatedColours(ADOBE_RGB, "EXIF, R03")
    return None


def _of_png(data: bytes) -> StatedColours | None:
    chunks: dict[bytes, bytes] = {}
    for name, content in png_chunks(data):
        if name == _BEFORE_PIXELS:
            break
        chunks.setdefault(name, content)
    points = chunks.get(b"cICP", b"")
    if len(points) == 4 and (points[2], points[3]) == (_RGB_MATRIX, _FULL_RANGE):
        encoding = h273_encoding(points[0], points[1])
        if encoding is not None:
            return StatedColours(encoding, "cICP", goes_before_profile=True)
    if b"sRGB" in chunks:
        return StatedColours(SRGB, "sRGB chunk")
    return _of_gamma(chunks.get(b"gAMA", b""), chunks.get(b"cHRM", b""))


def _of_gamma(gamma: bytes, chromaticities: bytes) -> StatedColours | None:
    """An encoding by ``gAMA``, which is the exponent of the code value, and ``cHRM``."""
    exponent = struct.unpack(">I", gamma)[0] / _PNG_UNIT if len(gamma) == 4 else 0.0
    if exponent <= 0:
        return None
    primaries = _primaries(chromaticities)
    source = "gAMA" if primaries is None else "gAMA, cHRM"
    return StatedColours(power_encoding(1 / exponent, primaries), source)


def _primaries(content: bytes) -> Primaries | None:
    if len(content) != 32:
        return None
    white_x, white_y, *rgb = (value / _PNG_UNIT for value in struct.unpack(">8I", content))
    red, green, blue = zip(rgb[::2], rgb[1::2], strict=True)
    primaries = Primaries(red, green, blue, (white_x, white_y))
    return None if linear_srgb_matrix(primaries) is None else primaries
