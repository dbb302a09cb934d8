"""Find the frames drawn on a page and straighten them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.sketch.courses import follow
from auditor.sketch.drawn import FrameOnPage
from auditor.sketch.frame_selection import select_frames
from auditor.sketch.ink import (
    PAPER_REDUCTION,
    InkMap,
    block_mean,
    enlarged,
    mean_of_channels,
    measure_ink,
)
from auditor.sketch.long_lines import find_level_lines
from auditor.sketch.page_plane import positions_on_plane, ratio_of_sides
from auditor.sketch.printed_lines import without_printed_lines
from auditor.sketch.quadrilaterals import Quadrilateral, find_quadrilaterals
from auditor.sketch.reading_order import reading_order
from auditor.sketch.ridges import Ridges, find_ridges
from auditor.sketch.sides import refined_corners
from auditor.sketch.straightening import (
    MARGIN_SHARE,
    cells_of,
    clean_ink,
    line_darkness,
    on_sheet,
    part_around,
    relative_to_sides,
    sheet_around,
    sheet_in_middle,
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
    on_paper = enlarged(
        sheet_in_middle(ink.paper).astype(np.float32),
        (ridges.level.shape[0], ridges.level.shape[1]),
        PAPER_REDUCTION // LINES_REDUCTION,
    )
    # The desk may be of wood with its own lines. A sheet far from the middle is no reason to fail.
    quads = _frames(page, Ridges(ridges.level * on_paper, ridges.upright * on_paper)) or _frames(
        page, ridges
    )
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
    scale = WORKING_SIDE_PX / max(rgb.shape[:2])
    height, width = (max(1, round(side * scale)) for side in rgb.shape[:2])
    way = Image.Resampling.BOX if scale <= 1 else Image.Resampling.BICUBIC
    if rgb.dtype == np.uint8:  # three times faster than in floats
        resized = Image.fromarray(np.ascontiguousarray(rgb)).resize((width, height), way)
        return np.asarray(resized, dtype=np.float32) / np.float32(255), scale
    channels = [
        np.asarray(
            Image.fromarray(np.ascontiguousarray(rgb[..., channel], dtype=np.float32)).resize(
                (width, height), way
            )
        )
        for channel in range(3)
    ]
    return np.clip(np.stack(channels, axis=-1), 0, 1), scale


def _ridges(page: Array, ink: InkMap, darkness: Array) -> Ridges:
    darkest = np.minimum(np.minimum(page[..., 0], page[..., 1]), page[..., 2])
    brightness: Array = (mean_of_channels(page) + darkest) / np.float32(2)
    if ink.is_light_on_dark:
        brightness = np.float32(1) - brightness
    return find_ridges(
        block_mean(darkness, LINES_REDUCTION),
        block_mean(ink.noise, LINES_REDUCTION) / np.float32(LINES_REDUCTION),
        block_mean(brightness, LINES_REDUCTION),
    )


def _frames(page: Array, ridges: Ridges) -> list[Quadrilateral]:
    upright_ridge = np.ascontiguousarray(ridges.upright.T)
    lines = find_level_lines(ridges.level), find_level_lines(upright_ridge)
    if min(len(kind) for kind in lines) < 2:
        return []
    level, upright = follow(lines[0], ridges.level), follow(lines[1], upright_ridge)
    quads = find_quadrilaterals(level, upright, max(ridges.level.shape))
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
    width = round(LONG_SIDE_PX * min(1.0, ratio))
    height = round(LONG_SIDE_PX * min(1.0, 1 / ratio))
    margin = round(MARGIN_SHARE * LONG_SIDE_PX)
    rows, columns = part_around(corners[index], (width, height), margin, darkness.shape)
    first = np.array([columns.start, rows.start])
    own = corners[index] - first
    others = [other - first for place, other in enumerate(corners) if place != index]
    part = darkness[rows, columns]
    clean = clean_ink(part, ink.noise[rows, columns], line_darkness(part, own))
    sheet = sheet_around(own, ink.paper[cells_of(rows), cells_of(columns)])
    alone = on_sheet(without_others(clean, others), sheet)
    surround = relative_to_sides(straightened(alone, own, (width, height), margin), margin)
    inside = surround[margin : margin + height, margin : margin + width]
    return FrameOnPage(
        corners=corners[index] / scale,
        aspect_ratio=ratio,
        ink=np.ascontiguousarray(inside),
        surround=surround,
    )
