"""A small map of the frame with the places where highlights or shadows are clipped."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.wording.measured_colours import clipping_map_words

MAP_LENGTH = 96.0  # units of the drawing along the longest side of the frame


@dataclass(frozen=True, slots=True)
class MapBox:
    """A clipped place on the map."""

    kind: str
    x: str
    y: str
    width: str
    height: str


@dataclass(frozen=True, slots=True)
class ClippingMap:
    """The frame with its clipped places."""

    width: str
    height: str
    boxes: tuple[MapBox, ...]
    description: str


def clipping_map(picture: MeasuredPictureRecord) -> ClippingMap:
    """Draw where clipping lies."""
    scale = MAP_LENGTH / max(picture.width, picture.height)
    width, height = picture.width * scale, picture.height * scale
    regions = picture.tone.clipping.regions if picture.tone.clipping else []
    boxes = tuple(
        MapBox(
            region.kind,
            f"{region.bbox[0] * width:.1f}",
            f"{region.bbox[1] * height:.1f}",
            f"{(region.bbox[2] - region.bbox[0]) * width:.1f}",
            f"{(region.bbox[3] - region.bbox[1]) * height:.1f}",
        )
        for region in regions
    )
    return ClippingMap(f"{width:.1f}", f"{height:.1f}", boxes, clipping_map_words(picture))
