"""What the metadata of a file say, as far as rules ask: that something is there, not what.

Of captions, keywords, serial numbers and places only the presence is kept, so that no report can
show them. Standards: Exif (CIPA DC-008), IPTC-IIM 4.2 and the IPTC Photo Metadata Standard, XMP
(ISO 16684-1; the namespace exifEX is CIPA DC-010).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import piexif
from PIL import Image

from auditor.photograph.exif import ExifFields, read_exif, text
from auditor.photograph.iptc import BY_LINE, COPYRIGHT_NOTICE, all_contents
from auditor.photograph.xmp import AUXILIARY, DUBLIN_CORE, EXIF, n_items, read_xmp, says_anywhere
from auditor.photograph.xmp import text_of as xmp_text

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_KEYWORDS, _CAPTION = (2, 25), (2, 120)  # IPTC-IIM 4.2 datasets
_DESCRIPTION = 0x010E  # Exif ImageDescription
_MAKER_NOTE = 0x927C
# Exif: CameraOwnerName, BodySerialNumber, LensSerialNumber; DNG 1.6: CameraSerialNumber.
_OWNER, _BODY_SERIAL, _LENS_SERIAL, _CAMERA_SERIAL = 0xA430, 0xA431, 0xA435, 0xC62F
_EXIF_EX = "{http://cipa.jp/exif/1.0/}"
_SERIALS = frozenset(
    (
        *(AUXILIARY + name for name in ("SerialNumber", "LensSerialNumber", "OwnerName")),
        *(_EXIF_EX + name for name in ("BodySerialNumber", "LensSerialNumber", "CameraOwnerName")),
    )
)
_PLACES = frozenset(EXIF + name for name in ("GPSLatitude", "GPSLongitude"))
# Fields that a camera fills by itself with nothing in them (common practice, from memory).
_EMPTY_SERIALS = frozenset("0 -?.")


@dataclass(frozen=True, slots=True)
class Metadata:
    """What the metadata of a file say.

    Attributes
    ----------
    creators, copyrights : tuple of str
        As each standard has them.
    has_caption : bool
    n_keywords : int
        Of the standard that has most.
    has_location : bool
        True if there are coordinates; the names of places do not count.
    has_serial_number : bool
        True if there is a serial number of camera or lens, or the name of the camera's owner.
    has_maker_note : bool
        True if there are notes of the camera's maker, which may hold a serial number in a form of
        their own.
    is_broken : bool
        True if a block is there that cannot be read.
    """

    creators: tuple[str, ...] = ()
    copyrights: tuple[str, ...] = ()
    has_caption: bool = False
    n_keywords: int = 0
    has_location: bool = False
    has_serial_number: bool = False
    has_maker_note: bool = False
    is_broken: bool = False


def read_metadata(image: Image.Image) -> Metadata:
    """Read the metadata of an opened picture; what is broken counts as absent."""
    exif, iptc, xmp = read_exif(image), all_contents(image), read_xmp(image)
    return Metadata(
        creators=_texts(exif, piexif.ImageIFD.Artist, iptc, BY_LINE, xmp, "creator"),
        copyrights=_texts(exif, piexif.ImageIFD.Copyright, iptc, COPYRIGHT_NOTICE, xmp, "rights"),
        has_caption=bool(_texts(exif, _DESCRIPTION, iptc, _CAPTION, xmp, "description")),
        n_keywords=max(
            sum(text(content) is not None for content in iptc.get(_KEYWORDS, [])),
            n_items(xmp, DUBLIN_CORE + "subject"),
        ),
        has_location=exif.has_gps or says_anywhere(xmp, _PLACES),
        has_serial_number=_has_serial(exif) or says_anywhere(xmp, _SERIALS),
        has_maker_note=_MAKER_NOTE in exif.photo,
        is_broken=_is_broken(image, exif, xmp),
    )


def _texts(
    exif: ExifFields,
    tag: int,
    iptc: Mapping[tuple[int, int], list[bytes]],
    dataset: tuple[int, int],
    xmp: tuple[Element, ...],
    name: str,
) -> tuple[str, ...]:
    """The text of one field as each of the three standards has it."""
    in_xmp = xmp_text(xmp, DUBLIN_CORE + name)
    found = (
        text(exif.main.get(tag)),
        *(text(content) for content in iptc.get(dataset, [])),
        None if in_xmp is None else text(in_xmp.encode("utf-8", "replace")),
    )
    return tuple(dict.fromkeys(one for one in found if one))


def _has_serial(exif: ExifFields) -> bool:
    values = (
        *(exif.photo.get(tag) for tag in (_OWNER, _BODY_SERIAL, _LENS_SERIAL)),
        exif.main.get(_CAMERA_SERIAL),
    )
    return any(not set(text(value) or "") <= _EMPTY_SERIALS for value in values)


def _is_broken(image: Image.Image, exif: ExifFields, xmp: tuple[Element, ...]) -> bool:
    block = image.info.get("exif")
    packet = image.info.get("xmp") or image.info.get("XML:com.adobe.xmp")
    no_fields = not (exif.main or exif.photo or exif.interoperability or exif.has_gps)
    # A block of a header and one empty directory says nothing, and that is no fault.
    has_block = isinstance(block, bytes) and len(block) > _EMPTY_BLOCK_BYTES
    return (has_block and no_fields) or (bool(packet) and not xmp)


_EMPTY_BLOCK_BYTES = 20  # "Exif", two zeros, the TIFF header, a count of 0 and the end
