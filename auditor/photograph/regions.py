"""What the metadata say the picture is of, and where.

Three standards name areas of a picture: EXIF (SubjectArea, SubjectLocation), the regions of the
Metadata Working Group (Guidelines for Handling Image Metadata 2.0) and those of the IPTC Photo
Metadata Standard (since 2019.1). Each speaks of the picture as stored; what is returned is in the
frame as displayed. An area that belongs to another cut of the picture is worse than none, so
whatever does not fit the stored size is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import piexif

from auditor.geometry import Box
from auditor.photograph.exif import ExifFields, numbers
from auditor.photograph.orientation import turned_box, turned_size
from auditor.photograph.photograph import ImageRegion
from auditor.photograph.xmp import items_of, number_of, structure_of, text_of

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_MWG = "{http://www.metadataworkinggroup.com/schemas/regions/}"
_AREA = "{http://ns.adobe.com/xmp/sType/Area#}"
_DIMENSIONS = "{http://ns.adobe.com/xap/1.0/sType/Dimensions#}"
_IPTC = "{http://iptc.org/std/Iptc4xmpExt/2008-02-29/}"
_XMP = "{http://ns.adobe.com/xap/1.0/}"

# Areas that a camera or a program marks by itself to recognise somebody or something; a picture
# of food is not of them. The types are the closed list of the MWG guidelines.
_MWG_NOT_SUBJECTS = frozenset(("face", "pet", "barcode"))
_MWG_FOCUS, _MWG_FOCUS_USED = "focus", "evaluatedused"

# Last parts of the role identifiers under cv.iptc.org/newscodes/imageregionrole/.
_IPTC_SUBJECTS = frozenset(("mainsubjectarea", "subjectarea", "areaofinterest"))
# Last parts of the type identifiers under cv.iptc.org/newscodes/imageregiontype/.
_IPTC_NOT_SUBJECTS = frozenset(("machinecode", "dividingline", "text"))

# Two sizes are one picture at two scales where their proportions differ by no more than rounding
# a side of a few hundred pixels does.
_ASPECT_TOLERANCE_FRACTION = 0.01

_CIRCLE_VALUES, _RECTANGLE_VALUES, _POINT_VALUES = 3, 4, 2  # SubjectArea, CIPA DC-008 4.6.5


@dataclass(frozen=True, slots=True)
class StoredFrame:
    """The frame before it is turned for display: size in pixels, EXIF orientation 1 to 8."""

    width: int
    height: int
    orientation: int

    def is_cut_of(self, width: float, height: float) -> bool:
        """Whether another size is not this picture at another scale."""
        if width <= 0 or height <= 0:
            return True
        ratio = (width / height) / (self.width / self.height)
        return abs(ratio - 1) > _ASPECT_TOLERANCE_FRACTION


def find_regions(
    fields: ExifFields, xmp: tuple[Element, ...], frame: StoredFrame
) -> tuple[ImageRegion, ...]:
    """Every area that the metadata name as a subject, those written by a person first.

    Parameters
    ----------
    fields : ExifFields
    xmp : tuple of Element
        Top descriptions of the XMP packet.
    frame : StoredFrame

    Returns
    -------
    tuple of ImageRegion
        IPTC, then MWG (both are usually drawn by hand), then EXIF (where a camera was pointed).
    """
    found: list[ImageRegion] = []
    for node in xmp:
        found.extend(_iptc_regions(node, frame))
    for node in xmp:
        found.extend(_mwg_regions(node, frame))
    found.extend(_exif_regions(fields, frame))
    return tuple(found)


def _region(box: Box, source: str, name: str | None, orientation: int) -> Iterator[ImageRegion]:
    """The region in the displayed frame; nothing where its middle lies outside."""
    middle = box.centre
    if not (0 <= middle.x <= 1 and 0 <= middle.y <= 1 and box.left <= box.right):
        return
    if box.top > box.bottom:
        return
    is_point = box.left == box.right and box.top == box.bottom
    clipped = Box(*(min(1.0, max(0.0, edge)) for edge in box))
    yield ImageRegion(turned_box(clipped, orientation), source, name, is_point)


def _around(x: float, y: float, width: float, height: float) -> Box:
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def _exif_regions(fields: ExifFields, frame: StoredFrame) -> Iterator[ImageRegion]:
    """Pixels of the image that the camera wrote, from its upper left, before it is turned."""
    photo = fields.photo
    width = next(iter(numbers(photo.get(piexif.ExifIFD.PixelXDimension))), 0) or frame.width
    height = next(iter(numbers(photo.get(piexif.ExifIFD.PixelYDimension))), 0) or frame.height
    if frame.is_cut_of(width, height):
        return
    area = numbers(photo.get(piexif.ExifIFD.SubjectArea))
    if len(area) in (_POINT_VALUES, _CIRCLE_VALUES, _RECTANGLE_VALUES):
        x, y, *extent = area
        across, down = (extent[0], extent[-1]) if extent else (0.0, 0.0)
        box = _around(x / width, y / height, across / width, down / height)
        yield from _region(box, "EXIF SubjectArea", None, frame.orientation)
    location = numbers(photo.get(piexif.ExifIFD.SubjectLocation))
    if len(location) == _POINT_VALUES:
        box = _around(location[0] / width, location[1] / height, 0, 0)
        yield from _region(box, "EXIF SubjectLocation", None, frame.orientation)


def _mwg_regions(node: Element, frame: StoredFrame) -> Iterator[ImageRegion]:
    """Regions of the Metadata Working Group.

    The guidelines (section 5.9) mean the stored image, but some writers turn the areas along with
    the picture. AppliedToDimensions shows which was done wherever the turn exchanges the sides:
    then the areas are taken for the frame whose proportions it has.
    """
    regions = structure_of(node, _MWG + "Regions")
    if regions is None:
        return
    orientation = _mwg_orientation(regions, frame)
    if orientation is None:
        return
    for item in items_of(regions, _MWG + "RegionList"):
        area = structure_of(item, _MWG + "Area")
        box = None if area is None else _mwg_box(area, frame)
        if box is not None and _mwg_speaks_of_subject(item):
            name = text_of(item, _MWG + "Name")
            yield from _region(box, "MWG region", name, orientation)


def _mwg_orientation(regions: Element, frame: StoredFrame) -> int | None:
    """How the areas are to be turned; None where they belong to another cut."""
    applied = structure_of(regions, _MWG + "AppliedToDimensions")
    if applied is None:
        return frame.orientation
    width = number_of(applied, _DIMENSIONS + "w")
    height = number_of(applied, _DIMENSIONS + "h")
    if width is None or height is None or not frame.is_cut_of(width, height):
        return frame.orientation
    shown = StoredFrame(*turned_size((frame.width, frame.height), frame.orientation), 1)
    return None if shown.is_cut_of(width, height) else 1


def _mwg_box(area: Element, frame: StoredFrame) -> Box | None:
    """Position and size of the middle; a circle has a diameter, as a fraction of the short side."""
    x, y = number_of(area, _AREA + "x"), number_of(area, _AREA + "y")
    if x is None or y is None:
        return None
    across, down = number_of(area, _AREA + "w"), number_of(area, _AREA + "h")
    diameter = number_of(area, _AREA + "d")
    if across is None and down is None and diameter is not None:
        short = min(frame.width, frame.height)
        across, down = diameter * short / frame.width, diameter * short / frame.height
    return _around(x, y, across or 0.0, down or 0.0)


def _mwg_speaks_of_subject(item: Element) -> bool:
    kind = (text_of(item, _MWG + "Type") or "").casefold()
    if kind == _MWG_FOCUS:
        usage = text_of(item, _MWG + "FocusUsage") or _MWG_FOCUS_USED
        return usage.casefold() == _MWG_FOCUS_USED
    return kind not in _MWG_NOT_SUBJECTS


def _iptc_regions(node: Element, frame: StoredFrame) -> Iterator[ImageRegion]:
    for item in items_of(node, _IPTC + "ImageRegion"):
        boundary = structure_of(item, _IPTC + "RegionBoundary")
        box = None if boundary is None else _iptc_box(boundary, frame)
        if box is not None and _iptc_speaks_of_subject(item):
            name = text_of(item, _IPTC + "Name")
            yield from _region(box, "IPTC region", name, frame.orientation)


def _iptc_speaks_of_subject(item: Element) -> bool:
    """Roles for cropping, composites and rights are about the picture, not about its subject."""
    roles, kinds = _terms(item, _IPTC + "rRole"), _terms(item, _IPTC + "rCtype")
    if roles:
        return bool(roles & _IPTC_SUBJECTS)
    return not kinds or bool(kinds - _IPTC_NOT_SUBJECTS)


def _terms(item: Element, name: str) -> frozenset[str]:
    """Last parts of the identifiers of an entity's terms, in lower case."""
    found: set[str] = set()
    for entity in items_of(item, name):
        uris = entity.find(_XMP + "Identifier")
        texts = [] if uris is None else [element.text or "" for element in uris.iter()]
        found.update(text.strip().rsplit("/", 1)[-1].casefold() for text in texts)
    return frozenset(found - {""})


def _iptc_box(boundary: Element, frame: StoredFrame) -> Box | None:
    """The box around a rectangle, a circle or a polygon, as fractions of the stored frame."""
    is_pixel = (text_of(boundary, _IPTC + "rbUnit") or "relative").casefold() == "pixel"
    width, height = (frame.width, frame.height) if is_pixel else (1, 1)
    vertices = _vertices(boundary)
    if vertices:
        xs, ys = zip(*vertices, strict=True)
        return Box(min(xs) / width, min(ys) / height, max(xs) / width, max(ys) / height)
    x, y = number_of(boundary, _IPTC + "rbX"), number_of(boundary, _IPTC + "rbY")
    if x is None or y is None:
        return None
    radius = number_of(boundary, _IPTC + "rbRx")
    if radius is not None:
        across = 2 * radius / width
        return _around(x / width, y / height, across, across * frame.width / frame.height)
    across_, down = number_of(boundary, _IPTC + "rbW"), number_of(boundary, _IPTC + "rbH")
    if across_ is None or down is None:
        return None
    return Box(x / width, y / height, (x + across_) / width, (y + down) / height)


def _vertices(boundary: Element) -> list[tuple[float, float]]:
    corners = []
    for vertex in items_of(boundary, _IPTC + "rbVertices"):
        x, y = number_of(vertex, _IPTC + "rbX"), number_of(vertex, _IPTC + "rbY")
        if x is not None and y is not None:
            corners.append((x, y))
    return corners
