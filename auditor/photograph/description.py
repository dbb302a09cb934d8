"""A picture's metadata, combined from EXIF, XMP and IPTC."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import piexif
from PIL import Image

from auditor.photograph.exif import ExifFields, camera_settings, exposed_ratio, text
from auditor.photograph.iptc import BY_LINE, COPYRIGHT_NOTICE, read_iptc
from auditor.photograph.photograph import CameraSettings, ImageRegion
from auditor.photograph.regions import StoredFrame, find_regions
from auditor.photograph.xmp import AUXILIARY, DUBLIN_CORE, has_position, read_xmp, text_of

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element


@dataclass(frozen=True, slots=True)
class Description:
    """What is used of a picture's metadata; the fields are those of `Photograph`."""

    camera: CameraSettings
    regions: tuple[ImageRegion, ...]
    creator: str | None
    copyright: str | None


def describe(
    image: Image.Image, fields: ExifFields, stored_size: tuple[int, int], orientation: int
) -> Description:
    """Combine EXIF, XMP and IPTC-IIM of an opened picture; broken parts count as absent.

    Parameters
    ----------
    image : Image
        Opened; it need not be loaded.
    fields : ExifFields
        Of the same picture.
    stored_size : tuple of int
        Width and height in pixels before it is turned.
    orientation : int
        EXIF orientation of the stored frame, 1 to 8.
    """
    xmp, iptc = read_xmp(image), read_iptc(image)
    camera = camera_settings(fields)
    camera = replace(
        camera,
        lens=camera.lens or _shown(text_of(xmp, AUXILIARY + "Lens")),
        has_gps=camera.has_gps or has_position(xmp),
        exposed_ratio=exposed_ratio(fields, stored_size, orientation),
    )
    return Description(
        camera=camera,
        regions=find_regions(fields, xmp, StoredFrame(*stored_size, orientation)),
        creator=text(fields.main.get(piexif.ImageIFD.Artist))
        or text(iptc.get(BY_LINE))
        or _first(xmp, "creator"),
        copyright=text(fields.main.get(piexif.ImageIFD.Copyright))
        or text(iptc.get(COPYRIGHT_NOTICE))
        or _first(xmp, "rights"),
    )


def _first(xmp: tuple[Element, ...], name: str) -> str | None:
    return _shown(text_of(xmp, DUBLIN_CORE + name))


def _shown(value: str | None) -> str | None:
    """Free text of XMP, cleaned in the same way as text of EXIF."""
    return None if value is None else text(value.encode("utf-8", "replace"))
