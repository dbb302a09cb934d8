"""Generated pages with their truth: frames straightened by their true corners."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from auditor.sketch.drawn import FrameOnPage

Array = NDArray[np.float32]

LONG_SIDE_PX = 640
PAPER_PX = 41  # window of the paper's brightness, wider than any line
NOISE_SIGMAS = 3.0
FULL_INK_PERCENT = 97.0
OTHER_FRAME_GROWN = 1.03  # another frame is white in the margin, with its own lines


@dataclass(frozen=True, slots=True, eq=False)
class TrueFrame:
    """A frame and what the generator says of it."""

    page: FrameOnPage
    truth: dict[str, Any]


def true_frames(paths: list[Path]) -> Iterator[TrueFrame]:
    """Every frame of the pages on plain paper; `NAME.json` lies beside each picture."""
    for path in paths:
        truth = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
        if truth["paper"] != "plain":  # its printed lines are taken out before, not here
            continue
        with Image.open(path) as image:
            grey = np.array(image.convert("L"), dtype=np.float32)
        darkness = _darkness(grey)
        corners = [np.array(frame["corners"], dtype=float) for frame in truth["frames"]]
        for index, frame in enumerate(truth["frames"]):
            others = corners[:index] + corners[index + 1 :]
            page = _straight(darkness, corners[index], others, frame["aspect_ratio"])
            yield TrueFrame(page, frame)


def _darkness(grey: Array) -> Array:
    grey = grey / np.float32(255)
    paper = ndimage.uniform_filter(ndimage.maximum_filter(grey, PAPER_PX), PAPER_PX)
    dark = np.clip(1 - grey / np.maximum(paper, 0.05), 0, 1)
    dark -= np.median(dark)
    noise = 1.5 * float(np.median(np.abs(dark)))
    dark = np.clip(dark - NOISE_SIGMAS * noise, 0, 1)
    full = float(np.percentile(dark[dark > 0.05], FULL_INK_PERCENT)) if (dark > 0.05).any() else 1
    return np.asarray(np.clip(dark / full, 0, 1), dtype=np.float32)


def _straight(
    darkness: Array,
    corners: NDArray[np.float64],
    others: list[NDArray[np.float64]],
    aspect_ratio: float,
) -> FrameOnPage:
    width = round(LONG_SIDE_PX * min(1.0, aspect_ratio))
    height = round(LONG_SIDE_PX * min(1.0, 1 / aspect_ratio))
    m = LONG_SIDE_PX // 4
    target = np.array([(m, m), (m + width, m), (m + width, m + height), (m, m + height)], float)
    to_page = _homography(target, corners)
    rows, columns = np.indices((height + 2 * m, width + 2 * m)) + 0.5
    places = np.stack([columns, rows, np.ones_like(rows)], axis=-1) @ to_page.T
    x, y = places[..., 0] / places[..., 2], places[..., 1] / places[..., 2]
    surround = ndimage.map_coordinates(darkness, [y - 0.5, x - 0.5], order=1, cval=0)
    for other in others:
        middle = other.mean(axis=0)
        surround[_within(x, y, middle + OTHER_FRAME_GROWN * (other - middle))] = 0
    ink = surround[m : m + height, m : m + width].copy()
    return FrameOnPage(corners, aspect_ratio, ink, surround)


def _homography(source: NDArray[np.float64], target: NDArray[np.float64]) -> NDArray[np.float64]:
    """The 3 × 3 matrix that brings four points onto four others."""
    rows = []
    for (x, y), (u, v) in zip(source, target, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, -u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, -v])
    return np.asarray(np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3))


def _within(
    x: NDArray[np.float64], y: NDArray[np.float64], corners: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Which places lie within a convex quadrilateral whose corners run clockwise."""
    inside = np.ones(x.shape, dtype=np.bool_)
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        inside &= (b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0]) > 0
    return inside
