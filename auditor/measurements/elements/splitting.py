"""Splitting of a mask into single things.

A watershed on the distance from the outline, weighted by the finder's map of cores. Touching things
are separated by their cores where the finder sees them, elsewhere by the necks of the outline.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import mask_window

# Least distance between the centres of two things, of the diagonal: the width of a grape on a
# plate. Common practice, no source.
PEAK_REACH_FRACTION = 0.02
# Standard deviation of the smoothing of ragged outlines, of the diagonal: 1 px of the finder's map.
DEPTH_SIGMA_FRACTION = 0.004

# Both were fitted with `tests/benchmarks/check_elements.py TABLES --fit`.
CORE_FLOOR = 0.3  # weight where there is no core, relative to where a core is certain
NECK_RATIO = 0.65  # height of a saddle over the lower peak, below which two things are separate
GAUSSIAN_REACH = 4  # standard deviations at which SciPy truncates a Gaussian

Mask = NDArray[np.bool_]
Labels = NDArray[np.int32]
Floats = NDArray[np.float64]


def split(mask: Mask, cores: NDArray[np.float32], diagonal_px: float) -> Labels:
    """Label the things in a mask, separating those that touch.

    A watershed on the weighted distance from the outline. Basins whose common saddle is nearly as
    high as the lower of their peaks are merged again. The edge of the frame is no outline.

    Parameters
    ----------
    mask : (h, w) bool array
    cores : (h, w) float32 array
        The finder's map of cores, in [0, 1].
    diagonal_px : float
        Of the maps.

    Returns
    -------
    (h, w) int32 array
        0 outside the mask.
    """
    labels = np.zeros(mask.shape, dtype=np.int32)
    sigma = DEPTH_SIGMA_FRACTION * diagonal_px
    reach = round(PEAK_REACH_FRACTION * diagonal_px)
    window = mask_window(mask, margin_px=reach + math.ceil(GAUSSIAN_REACH * sigma))
    if window is None:
        return labels
    mask, cores = mask[window], cores[window]
    depth = ndimage.distance_transform_edt(np.pad(mask, 1, mode="edge"))[1:-1, 1:-1]
    weighted = depth * (CORE_FLOOR + (1 - CORE_FLOOR) * cores)
    height = ndimage.gaussian_filter(weighted, sigma)
    peaks = (height == ndimage.maximum_filter(height, 2 * reach + 1)) & mask
    markers, _ = ndimage.label(peaks, structure=np.ones((3, 3)))
    labels[window] = _merged(_basins(height, markers, mask), height)
    return labels


def _basins(height: Floats, markers: Labels, mask: Mask) -> Labels:
    """Watershed of a mask from its markers; a part with a single marker needs none."""
    parts, n_parts = ndimage.label(mask)
    at = markers > 0
    lowest, highest = np.full(n_parts + 1, np.iinfo(np.int32).max), np.zeros(n_parts + 1, int)
    np.minimum.at(lowest, parts[at], markers[at])
    np.maximum.at(highest, parts[at], markers[at])
    basins: Labels = np.where(lowest == highest, highest, 0).astype(np.int32)[parts]
    divided = (lowest < highest)[parts]
    window = mask_window(divided, margin_px=0)
    if window is not None:
        from skimage.segmentation import watershed  # slow to load; many pictures do without

        here = divided[window]
        flooded = watershed(-height[window], markers[window] * here, mask=here)
        basins[window][here] = flooded[here]
    return basins


def _merged(basins: Labels, depth: Floats) -> Labels:
    """Merge basins without a neck between them, highest saddles first."""
    peak = np.zeros(int(basins.max()) + 1)
    at = basins > 0
    np.maximum.at(peak, basins[at], depth[at])
    new_label = np.arange(peak.size, dtype=np.int32)
    for height, a, b in _saddles(basins, depth):
        first, second = new_label[a], new_label[b]
        if first != second and height > NECK_RATIO * min(peak[first], peak[second]):
            peak[first] = max(peak[first], peak[second])
            new_label[new_label == second] = first
    return new_label[basins]


def _saddles(basins: Labels, depth: Floats) -> list[tuple[float, int, int]]:
    """Height of the saddle of each pair of touching basins, and the pair; highest first."""
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
