"""Make a change of a photograph in memory."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.corrections.change import WHOLE_FRAME, Change
from auditor.corrections.colours import recoloured
from auditor.corrections.turning import turned, turned_point
from auditor.geometry import Box, Point
from auditor.photograph.photograph import WORKING_SIDE_PX, ImageRegion, Photograph

# What is tried goes once through a JPEG of a usual quality for delivery (common practice), so that
# what is measured is what would be delivered.
DELIVERED_JPEG_QUALITY = 92


def applied(photograph: Photograph, change: Change) -> Photograph:
    """The photograph as it would be after a change and saving as JPEG.

    Metadata stay, regions move with the frame; one that is cut off altogether is dropped.
    """
    detail = _as_delivered(changed_pixels(photograph.detail, change))
    working = detail
    longest = max(detail.shape[:2])
    if longest > WORKING_SIDE_PX:
        picture = Image.fromarray(detail)
        scale = WORKING_SIDE_PX / longest
        size = (max(1, round(picture.width * scale)), max(1, round(picture.height * scale)))
        working = np.array(picture.resize(size, Image.Resampling.HAMMING))
    width, height = change.size_px(photograph.width, photograph.height)
    moved = (_moved(region, change, photograph) for region in photograph.regions)
    return replace(
        photograph,
        width=width,
        height=height,
        regions=tuple(region for region in moved if region is not None),
        pixels=working,
        detail=detail,
    )


def changed_pixels(pixels: NDArray[np.uint8], change: Change) -> NDArray[np.uint8]:
    """The pixels of a whole frame after a change.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB; any size of the picture.
    change : Change
    """
    rows, columns = pixels.shape[:2]
    left, top, right, bottom = change.edges_px(columns, rows)
    framed = np.ascontiguousarray(turned(pixels, change.turn_deg)[top:bottom, left:right])
    return recoloured(framed, change.mired, change.exposure_ev, change.saturation)


def _as_delivered(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, format="JPEG", quality=DELIVERED_JPEG_QUALITY)
    with Image.open(buffer) as saved:
        return np.array(saved.convert("RGB"))


def _moved(region: ImageRegion, change: Change, photograph: Photograph) -> ImageRegion | None:
    """A region where it lies after the change; None if it is cut off."""
    left, top, right, bottom = region.box
    corners = [
        turned_point(Point(x, y), photograph.width, photograph.height, change.turn_deg)
        for x in (left, right)
        for y in (top, bottom)
    ]
    across = [_within(corner.x, change.crop.left, change.crop.right) for corner in corners]
    down = [_within(corner.y, change.crop.top, change.crop.bottom) for corner in corners]
    box = Box(min(across), min(down), max(across), max(down))
    is_outside = max(across) <= 0 or min(across) >= 1 or max(down) <= 0 or min(down) >= 1
    if is_outside and change.crop != WHOLE_FRAME:
        return None
    clipped = Box(*(min(max(edge, 0.0), 1.0) for edge in box))
    return replace(region, box=clipped)


def _within(value: float, least: float, most: float) -> float:
    return (value - least) / (most - least)
