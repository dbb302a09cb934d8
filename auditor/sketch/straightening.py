"""A frame as if seen straight from above: its ink on a grid of pixels."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy import ndimage
from skimage.draw import polygon

from auditor.sketch.ink import PAPER_REDUCTION, block_mean, enlarged

Array = NDArray[np.float32]
Floats = NDArray[np.float64]

MARGIN_SHARE = 0.25  # around a frame, of its longer side
# Darkness of a line: this percentile along the frame's own sides, each place by its darkest pixel
# within reach across. Most of a line is paler where the pen was lifted.
LINE_PERCENTILE = 75
LINE_REACH_PX = 4
N_PLACES = 100
# Noise up to this many standard deviations is paper.
NOISE_SIGMAS = 2.5
# The band around a side in which its darkest pixels are sought, as a part of the margin; ink is
# enlarged by no more than the inverse of the last.
SIDE_BAND_OF_MARGIN, LEAST_LEVEL = 8, 0.25
LEAST_LINE = 0.04  # darkness; fainter lines are enlarged no further
# Paper next to a frame: its colour differs by less than this (logarithm of the ratio of channels),
# and shadow or light change its brightness by less than these factors. Our choice, no source.
SAME_COLOUR = 0.14
DARKEST_SHADOW, BRIGHTEST_LIGHT = 0.35, 1.7
# The edge of the sheet and its blur, in px of the paper map.
EDGE_CELLS = 2


def part_around(
    corners: Floats, size: tuple[int, int], margin: int, shape: tuple[int, ...]
) -> tuple[slice, slice]:
    """Rows and columns of the page that a frame and its margin need, in whole cells of the paper.

    Parameters are those of `straightened`; `shape` is that of the page in px.
    """
    width, height = size
    ends = np.array([(-margin, -margin), (width + margin, height + margin)], dtype=float)
    x, y = ends[[0, 1, 1, 0], 0], ends[[0, 0, 1, 1], 1]
    places = _homography(_rectangle(size), corners) @ np.stack([x, y, np.ones(4)])
    if places[2].min() <= 0:  # the margin reaches the horizon of the page
        return slice(0, shape[0]), slice(0, shape[1])
    first, last = (places[:2] / places[2]).min(axis=1), (places[:2] / places[2]).max(axis=1)
    low = np.clip(first // PAPER_REDUCTION - EDGE_CELLS, 0, None).astype(int) * PAPER_REDUCTION
    high = (np.ceil(last / PAPER_REDUCTION) + EDGE_CELLS).astype(int) * PAPER_REDUCTION
    return slice(int(low[1]), min(int(high[1]), shape[0])), slice(
        int(low[0]), min(int(high[0]), shape[1])
    )


def cells_of(part: slice) -> slice:
    """Cells of the paper map that a part of `part_around` covers."""
    return slice(part.start // PAPER_REDUCTION, -(-part.stop // PAPER_REDUCTION))


def line_darkness(darkness: Array, corners: Floats) -> float:
    """Darkness of the lines of a frame, in (0, 1]."""
    share = ((np.arange(N_PLACES) + 0.5) / N_PLACES)[:, None]
    found = []
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        along = (end - start) / np.hypot(*(end - start))
        across = np.array([-along[1], along[0]])
        offsets = np.arange(-LINE_REACH_PX, LINE_REACH_PX + 1)
        places = (start + (end - start) * share)[:, None] + offsets[:, None] * across
        columns = np.clip(places[..., 0].astype(np.intp), 0, darkness.shape[1] - 1)
        rows = np.clip(places[..., 1].astype(np.intp), 0, darkness.shape[0] - 1)
        found.append(darkness[rows, columns].max(axis=1))
    return max(float(np.percentile(np.concatenate(found), LINE_PERCENTILE)), LEAST_LINE)


def sheet_around(corners: Floats, paper: Array) -> NDArray[np.bool_]:
    """Where the paper of a frame continues, on the grid of the paper map."""
    height, width = paper.shape[:2]
    inside = np.zeros((height, width), dtype=bool)
    cells = corners / PAPER_REDUCTION
    inside[polygon(cells[:, 1], cells[:, 0], (height, width))] = True
    return _like(paper, inside) | inside


def sheet_in_middle(paper: Array) -> NDArray[np.bool_]:
    """Where the paper in the middle of the picture continues, on the grid of the paper map."""
    height, width = paper.shape[:2]
    inside = np.zeros((height, width), dtype=bool)
    inside[height // 4 : height - height // 4, width // 4 : width - width // 4] = True
    return _like(paper, inside)


def _like(paper: Array, sample: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Where the paper has the colour of a sample, and is not next to another."""
    logs = np.log(paper + 0.02)
    off = logs - (np.median(logs[sample], axis=0) if sample.any() else np.median(logs, axis=(0, 1)))
    brightness = off.mean(axis=2)
    colour = np.abs(off - brightness[..., None]).max(axis=2)
    other = (
        (colour > SAME_COLOUR)
        | (brightness < np.log(DARKEST_SHADOW))
        | (brightness > np.log(BRIGHTEST_LIGHT))
    )
    return np.asarray(~ndimage.binary_dilation(other, iterations=EDGE_CELLS))


def straightened(darkness: Array, corners: Floats, size: tuple[int, int], margin: int) -> Array:
    """Sample a frame and its margin.

    Parameters
    ----------
    darkness : (H, W) float array
    corners : (4, 2) float array
        x and y in px, upper left first, clockwise.
    size : tuple of int
        Width and height of the frame in the result.
    margin : int
        Around it, in px of the result.

    Returns
    -------
    (height + 2 margin, width + 2 margin) float array
        0 outside of the picture.
    """
    width, height = size
    reduction = max(1, round(_longest_side(corners) / max(size) * 0.75))
    values = darkness if reduction == 1 else block_mean(darkness, reduction)
    to_page = _homography(_rectangle(size), corners / reduction)
    x = (np.arange(-margin, width + margin) + 0.5)[None, :]
    y = (np.arange(-margin, height + margin) + 0.5)[:, None]
    depth = to_page[2, 0] * x + to_page[2, 1] * y + to_page[2, 2]
    columns = (to_page[0, 0] * x + to_page[0, 1] * y + to_page[0, 2]) / depth - 0.5
    rows = (to_page[1, 0] * x + to_page[1, 1] * y + to_page[1, 2]) / depth - 0.5
    sampled = ndimage.map_coordinates(values, [rows, columns], order=1, mode="constant")
    return np.asarray(np.where(depth > 0, sampled, 0), dtype=np.float32)


def relative_to_sides(surround: Array, margin: int) -> Array:
    """Ink relative to the sides of the frame: a thin line grows paler where a page is reduced."""
    reach = margin // SIDE_BAND_OF_MARGIN
    bands = [
        turned[margin - reach : margin + reach, margin:-margin].max(axis=0)
        for turned in (surround, surround[::-1], surround.T, surround.T[::-1])
    ]
    level = float(np.percentile(np.concatenate(bands), LINE_PERCENTILE))
    return np.asarray(np.minimum(surround / max(level, LEAST_LEVEL), 1), dtype=np.float32)


def clean_ink(darkness: Array, noise: Array, line: float) -> Array:
    """Darkness relative to the lines of the frame, in [0, 1], without the noise of the paper."""
    floor = np.minimum(NOISE_SIGMAS * noise, line / 2)
    return np.asarray(np.clip((darkness - floor) / (line - floor), 0, 1), dtype=np.float32)


def without_others(darkness: Array, others: list[Floats]) -> Array:
    """Remove what stands in other frames, with their lines."""
    covered = Image.new("1", darkness.shape[::-1])
    for corners in others:
        middle = corners.mean(axis=0)
        grown = middle + (corners - middle) * 1.04
        ImageDraw.Draw(covered).polygon(grown.ravel().tolist(), fill=1)
    return np.where(np.asarray(covered), np.float32(0), darkness)


def on_sheet(darkness: Array, sheet: NDArray[np.bool_]) -> Array:
    """Remove what is beside the sheet."""
    shape = darkness.shape[0], darkness.shape[1]
    return np.where(enlarged(sheet.astype(np.float32), shape, PAPER_REDUCTION) > 0.5, darkness, 0)


def _longest_side(corners: Floats) -> float:
    return float(np.hypot(*(np.roll(corners, -1, axis=0) - corners).T).max())


def _rectangle(size: tuple[int, int]) -> Floats:
    width, height = size
    return np.array([[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]])


def _homography(source: Floats, target: Floats) -> Floats:
    """The projective map of four points to four others."""
    rows = []
    for (x, y), (u, v) in zip(source, target, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y])
    solved = np.linalg.solve(np.array(rows), target.ravel())
    return np.append(solved, 1.0).reshape(3, 3)
