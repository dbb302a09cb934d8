"""Splitting a map of things into things.

One landscape: the depth below the outline, higher where the finder sees the core of a thing. Where
cores are drawn they tell touching things apart; where the map of cores is silent the necks of the
outline do.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from skimage.segmentation import watershed

from auditor.geometry import mask_window

# Of the diagonal: the middles of two things are further apart. Common practice, no source: a grape
# on a plate is as wide.
PEAK_REACH_FRACTION = 0.02
# Of the diagonal: smooths ragged outlines before they are read; a pixel of the finder's answer.
DEPTH_SIGMA_FRACTION = 0.004

# Both were searched by `tests/benchmarks/check_elements.py TABLES --fit`.
CORE_FLOOR = 0.3  # height of the landscape where there is no core, over that where one is sure
NECK_RATIO = 0.65  # things touch where the bridge is lower than this share of the lower summit

Mask = NDArray[np.bool_]
Labels = NDArray[np.int32]
Floats = NDArray[np.float64]


def split(mask: Mask, cores: NDArray[np.float32], diagonal_px: float) -> Labels:
    """Label the things in a mask, those that touch apart.

    Watershed of the depth below the outline, weighted by the cores; basins whose common bridge is
    nearly as high as the lower of their summits are one thing and are joined again. The frame's
    edge is no outline.
    """
    labels = np.zeros(mask.shape, dtype=np.int32)
    sigma = DEPTH_SIGMA_FRACTION * diagonal_px
    reach = round(PEAK_REACH_FRACTION * diagonal_px)
    window = mask_window(mask, margin_px=reach + math.ceil(4 * sigma))
    if window is None:
        return labels
    mask, cores = mask[window], cores[window]
    depth = ndimage.distance_transform_edt(np.pad(mask, 1, mode="edge"))[1:-1, 1:-1]
    weighted = depth * (CORE_FLOOR + (1 - CORE_FLOOR) * cores)
    height = ndimage.gaussian_filter(weighted, sigma)
    peaks = (height == ndimage.maximum_filter(height, 2 * reach + 1)) & mask
    markers, _ = ndimage.label(peaks, structure=np.ones((3, 3)))
    labels[window] = _joined(_basins(height, markers, mask), height)
    return labels


def _basins(height: Floats, markers: Labels, mask: Mask) -> Labels:
    """Flood a mask from its markers; a part with a single marker needs no flooding."""
    parts, n_parts = ndimage.label(mask)
    at = markers > 0
    lowest, highest = np.full(n_parts + 1, np.iinfo(np.int32).max), np.zeros(n_parts + 1, int)
    np.minimum.at(lowest, parts[at], markers[at])
    np.maximum.at(highest, parts[at], markers[at])
    basins: Labels = np.where(lowest == highest, highest, 0).astype(np.int32)[parts]
    divided = (lowest < highest)[parts]
    window = mask_window(divided, margin_px=0)
    if window is not None:
        here = divided[window]
        flooded = watershed(-height[window], markers[window] * here, mask=here)
        basins[window][here] = flooded[here]
    return basins


def _joined(basins: Labels, depth: Floats) -> Labels:
    """Give one label to basins without a neck between them, widest bridges first."""
    summit = np.zeros(int(basins.max()) + 1)
    at = basins > 0
    np.maximum.at(summit, basins[at], depth[at])
    name = np.arange(summit.size, dtype=np.int32)
    for height, a, b in _bridges(basins, depth):
        first, second = name[a], name[b]
        if first != second and height > NECK_RATIO * min(summit[first], summit[second]):
            summit[first] = max(summit[first], summit[second])
            name[name == second] = first
    return name[basins]


def _bridges(basins: Labels, depth: Floats) -> list[tuple[float, int, int]]:
    """Height of the highest contact of each pair of touching basins, highest first."""
    found: dict[tuple[int, int], float] = {}
    for here, there in ((np.s_[:, :-1], np.s_[:, 1:]), (np.s_[:-1], np.s_[1:])):
        a, b = basins[here], basins[there]
        touch = (a != b) & (a > 0) & (b > 0)
        heights = np.minimum(depth[here][touch], depth[there][touch])
        for i, j, height in zip(
            a[touch].tolist(), b[touch].tolist(), heights.tolist(), strict=True
        ):
            pair = (min(i, j), max(i, j))
            found[pair] = max(found.get(pair, 0.0), height)
    return sorted(((height, *pair) for pair, height in found.items()), key=lambda f: (-f[0], f[1:]))
