"""The subject's position according to the metadata.

Three standards name areas of a picture: EXIF (SubjectArea, SubjectLocation), the regions of the
Metadata Working Group (Guidelines for Handling Image Metadata 2.0) and those of the IPTC Photo
Metadata Standard (since 2019.1). All of them use the stored frame; the functions here return
positions in the displayed frame. An area that belongs to a different crop of the picture is worse
than none, so areas that do not fit the stored size are left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from auditor.geometry import Box
from auditor.photograph.camera_areas import camera_areas
from auditor.photograph.exif import ExifFields
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

# Areas that a camera or a program marks because it recognised a person or a thing; they are not the
# subject of a picture of food. The types are from the closed list of the MWG guidelines.
_MWG_NOT_SUBJECTS = frozenset(("face", "pet", "barcode"))
_MWG_FOCUS, _MWG_FOCUS_USED = "focus", "evaluatedused"

# Last parts of the role identifiers under cv.iptc.org/newscodes/imageregionrole/.
_IPTC_SUBJECTS = frozenset(("mainsubjectarea", "subjectarea", "areaofinterest"))
# Last parts of the type identifiers under cv.iptc.org/newscodes/imageregiontype/.
_IPTC_NOT_SUBJECTS = frozenset(("machinecode", "dividingline", "text"))

# Two sizes are the same picture at two scales if their proportions differ by no more than the
# rounding of a side of a few hundred pixels.
_ASPECT_TOLERANCE_FRACTION = 0.01


@dataclass(frozen=True, slots=True)
class StoredFrame:
    """The frame before it is turned for display: size in pixels and EXIF orientation, 1 to 8."""

    width: int
    height: int
    orientation: int

    def is_crop_of(self, width: float, height: float) -> bool:
        """True if another size is not this picture at another scale."""
        if width <= 0 or height <= 0:
            return True
        ratio = (width / height) / (self.width / self.height)
        return abs(ratio - 1) > _ASPECT_TOLERANCE_FRACTION


def find_regions(
    fields: ExifFields, xmp: tuple[Element, ...], frame: StoredFrame
) -> tuple[ImageRegion, ...]:
    """All areas that the metadata name as a subject, those made by a person first.

    Parameters
    ----------
    fields : ExifFields
    xmp : tuple of Element
        Top-level descriptions of the XMP packet.
    frame : StoredFrame

    Returns
    -------
    tuple of ImageRegion
        IPTC, then MWG (both are usually drawn by hand), then EXIF (recorded by the camera).
    """
    found: list[ImageRegion] = []
    for node in xmp:
        found.extend(_iptc_regions(node, frame))
    for node in xmp:
        found.extend(_mwg_regions(node, frame))
    found.extend(_exif_regions(fields, frame))
    return tuple(found)


def _region(box: Box, source: str, name: str | None, orientation: int) -> Iterator[ImageRegion]:
    """The region in the displayed frame; nothing if its centre is outside."""
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
    """The areas of a camera, except one that it writes though nobody pointed at anything."""
    for area in camera_areas(fields, frame.width, frame.height):
        if frame.is_crop_of(area.width, area.height) or area.is_central_default:
            continue
        (x, y), (across, down) = area.centre, area.size
        box = _around(x / area.width, y / area.height, across / area.width, down / area.height)
        yield from _region(box, area.source, None, frame.orientation)


def _mwg_regions(node: Element, frame: StoredFrame) -> Iterator[ImageRegion]:
    """Regions of the Metadata Working Group.

    By the guidelines (section 5.9) the areas are in the stored frame, but some programs turn them
    together with the picture. If the turn swaps width and height, AppliedToDimensions shows which
    was done: the areas belong to the frame that has its proportions.
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
        if box is not None and _is_mwg_subject(item):
            name = text_of(item, _MWG + "Name")
            yield from _region(box, "MWG region", name, orientation)


def _mwg_orientation(regions: Element, frame: StoredFrame) -> int | None:
    """The orientation by which to turn the areas; None if they belong to another crop."""
    applied = structure_of(regions, _MWG + "AppliedToDimensions")
    if applied is None:
        return frame.orientation
    width = number_of(applied, _DIMENSIONS + "w")
    height = number_of(applied, _DIMENSIONS + "h")
    if width is None or height is None or not frame.is_crop_of(width, height):
        return frame.orientation
    shown = StoredFrame(*turned_size((frame.width, frame.height), frame.orientation), 1)
    return None if shown.is_crop_of(width, height) else 1


def _mwg_box(area: Element, frame: StoredFrame) -> Box | None:
    """The box of an area, given by centre and size; a diameter is a fraction of the short side."""
    x, y = number_of(area, _AREA + "x"), number_of(area, _AREA + "y")
    if x is None or y is None:
        return None
    across, down = number_of(area, _AREA + "w"), number_of(area, _AREA + "h")
    diameter = number_of(area, _AREA + "d")
    if across is None and down is None and diameter is not None:
        short = min(frame.width, frame.height)
        across, down = diameter * short / frame.width, diameter * short / frame.height
    return _around(x, y, across or 0.0, down or 0.0)


def _is_mwg_subject(item: Element) -> bool:
    kind = (text_of(item, _MWG + "Type") or "").casefold()
    if kind == _MWG_FOCUS:
        usage = text_of(item, _MWG + "FocusUsage") or _MWG_FOCUS_USED
        return usage.casefold() == _MWG_FOCUS_USED
    return kind not in _MWG_NOT_SUBJECTS


def _iptc_regions(node: Element, frame: StoredFrame) -> Iterator[ImageRegion]:
    for item in items_of(node, _IPTC + "ImageRegion"):
        boundary = structure_of(item, _IPTC + "RegionBoundary")
        box = None if boundary is None else _iptc_box(boundary, frame)
        if box is not None and _is_iptc_subject(item):
            name = text_of(item, _IPTC + "Name")
            yield from _region(box, "IPTC region", name, frame.orientation)


def _is_iptc_subject(item: Element) -> bool:
    """False for roles such as cropping, composites and rights: they do not mark a subject."""
    roles, kinds = _terms(item, _IPTC + "rRole"), _terms(item, _IPTC + "rCtype")
    if roles:
        return bool(roles & _IPTC_SUBJECTS)
    return not kinds or bool(kinds - _IPTC_NOT_SUBJECTS)


def _terms(item: Element, name: str) -> frozenset[str]:
    """Last parts of the identifiers of an item's terms, in lower case."""
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
