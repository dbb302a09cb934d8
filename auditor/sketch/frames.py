"""Find the frames drawn on a page and straighten them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from auditor.sketch.drawn import FrameOnPage
from auditor.sketch.frame_selection import select_frames
from auditor.sketch.ink import InkMap, block_mean, measure_ink
from auditor.sketch.long_lines import find_level_lines
from auditor.sketch.page_plane import positions_on_plane, ratio_of_sides
from auditor.sketch.printed_lines import without_printed_lines
from auditor.sketch.quadrilaterals import STRAY, Quadrilateral, find_quadrilaterals
from auditor.sketch.reading_order import reading_order
from auditor.sketch.ridges import Ridges, find_ridges
from auditor.sketch.sides import refined_corners
from auditor.sketch.straightening import (
    MARGIN_SHARE,
    clean_ink,
    line_darkness,
    on_sheet,
    sheet_around,
    straightened,
    without_others,
)

Array = NDArray[np.float32]
Floats = NDArray[np.float64]

# Long side of a page while its frames are sought: the line of a pencil (0.5 mm) on A4 is 3 px wide.
WORKING_SIDE_PX = 2000
LONG_SIDE_PX = 800  # of a straightened frame; one of six frames has about as much on a page
LINES_REDUCTION = 2  # lines are sought at half the working size
MOST_FRAMES = 12


def find_frames(rgb: NDArray[np.uint8] | NDArray[np.floating]) -> tuple[FrameOnPage, ...]:
    """Find the drawn frames of a page, in reading order.

    Parameters
    ----------
    rgb : (H, W, 3) uint8 array, or float array in [0, 1]
        sRGB, as displayed.

    Returns
    -------
    tuple of FrameOnPage
        Empty if there is no frame. Corners are in px of `rgb`.
    """
    page, scale = _working_size(rgb)
    ink = measure_ink(page)
    darkness = without_printed_lines(ink.darkness)
    ridges = _ridges(page, ink, darkness)
    quads = _frames(page, ridges)
    if not quads:
        return ()
    corners = [refined_corners(quad.corners, ridges) * LINES_REDUCTION for quad in quads]
    placed = positions_on_plane(corners, page.shape[1], page.shape[0])
    return tuple(
        _straight(corners, index, ratio_of_sides(placed[index]), ink, darkness, scale)
        for index in reading_order(placed)
    )


def _working_size(rgb: NDArray[np.uint8] | NDArray[np.floating]) -> tuple[Array, float]:
    """The page as floats at the working size, and how many of its px are one px of `rgb`."""
    values = rgb.astype(np.float32)
    if rgb.dtype == np.uint8:
        values /= 255
    scale = WORKING_SIDE_PX / max(rgb.shape[:2])
    height, width = (max(1, round(side * scale)) for side in rgb.shape[:2])
    way = Image.Resampling.BOX if scale <= 1 else Image.Resampling.BICUBIC
    channels = [
        np.asarray(
            Image.fromarray(np.ascontiguousarray(values[..., channel])).resize((width, height), way)
        )
        for channel in range(3)
    ]
    return np.clip(np.stack(channels, axis=-1), 0, 1), scale


def _ridges(page: Array, ink: InkMap, darkness: Array) -> Ridges:
    brightness = (page.mean(axis=2) + page.min(axis=2)) / 2
    if ink.is_light_on_dark:
        brightness = 1 - brightness
    return find_ridges(
        block_mean(darkness, LINES_REDUCTION),
        block_mean(ink.noise, LINES_REDUCTION) / LINES_REDUCTION,
        block_mean(brightness, LINES_REDUCTION),
    )


def _frames(page: Array, ridges: Ridges) -> list[Quadrilateral]:
    level = find_level_lines(ridges.level)
    upright = find_level_lines(np.ascontiguousarray(ridges.upright.T))
    waver = 2 * int(STRAY * max(ridges.level.shape)) + 1
    quads = find_quadrilaterals(
        level,
        upright,
        ndimage.maximum_filter1d(ridges.level, waver, axis=0),
        ndimage.maximum_filter1d(ridges.upright, waver, axis=1),
    )
    reduced = block_mean(page, LINES_REDUCTION)
    return select_frames(quads, level, upright, reduced)[:MOST_FRAMES]


def _straight(
    corners: list[Floats],
    index: int,
    ratio: float,
    ink: InkMap,
    darkness: Array,
    scale: float,
) -> FrameOnPage:
    own = corners[index]
    others = [other for place, other in enumerate(corners) if place != index]
    line = line_darkness(darkness, own)
    clean = clean_ink(darkness, ink.noise, line)
    alone = on_sheet(without_others(clean, others), sheet_around(own, ink.paper))
    width = round(LONG_SIDE_PX * min(1.0, ratio))
    height = round(LONG_SIDE_PX * min(1.0, 1 / ratio))
    margin = round(MARGIN_SHARE * LONG_SIDE_PX)
    surround = straightened(alone, own, (width, height), margin)
    inside = surround[margin : margin + height, margin : margin + width]
    return FrameOnPage(
        corners=own / scale,
        aspect_ratio=ratio,
        ink=np.ascontiguousarray(inside),
        surround=surround,
    )
