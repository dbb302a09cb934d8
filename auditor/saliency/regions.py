"""From a map to separate things: thresholds, connected regions, cuts at necks."""

from __future__ import annotations

from typing import cast

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from skimage.segmentation import watershed

Floats = NDArray[np.float64]
Labels = NDArray[np.int32]

NECK_RATIO = 0.6  # two things touch where the bridge is narrower than this share of the narrower one
PEAK_DISTANCE_FRACTION = 0.02  # of the diagonal: the middles of two things are further apart
DEPTH_SIGMA_FRACTION = 0.004  # of the diagonal: smooths ragged outlines before they are read


def diagonal_of(mask: NDArray[np.bool_]) -> float:
    """The diagonal of an array in pixels."""
    return float(np.hypot(*mask.shape))


def split_at_necks(mask: NDArray[np.bool_]) -> Labels:
    """Label the things in a mask, (h, w); those that touch along a narrow neck apart.

    Watershed of the distance to the outline; basins whose common bridge is nearly as wide as the
    narrower of them belong to one thing and are joined again. The frame's edge is no outline.
    """
    diagonal = diagonal_of(mask)
    depth = ndimage.distance_transform_edt(np.pad(mask, 1, mode="edge"))[1:-1, 1:-1]
    depth = ndimage.gaussian_filter(depth, DEPTH_SIGMA_FRACTION * diagonal)
    reach = 2 * round(PEAK_DISTANCE_FRACTION * diagonal) + 1
    peaks = (depth == ndimage.maximum_filter(depth, reach)) & mask
    markers, _ = ndimage.label(peaks, structure=np.ones((3, 3)))
    basins = watershed(-depth, markers, mask=mask)
    return _join(basins, depth)


def _join(basins: NDArray[np.int_], depth: Floats) -> Labels:
    n = int(basins.max())
    summit = np.zeros(n + 1)
    np.maximum.at(summit, basins.ravel(), depth.ravel())
    parent = np.arange(n + 1)
    bridges: dict[tuple[int, int], float] = {}
    for a, b, height in _contacts(basins, depth):
        key = (min(a, b), max(a, b))
        bridges[key] = max(bridges.get(key, 0.0), height)
    for (a, b), height in sorted(bridges.items(), key=lambda item: (-item[1], item[0])):
        first, second = _root(parent, a), _root(parent, b)
        if first != second and height > NECK_RATIO * min(summit[first], summit[second]):
            parent[second] = first
            summit[first] = max(summit[first], summit[second])
    roots = np.array([_root(parent, k) for k in range(n + 1)])
    return np.unique(roots[basins], return_inverse=True)[1].reshape(basins.shape).astype(
        np.int32
    ) + (0 if np.any(basins == 0) else 1)


def _contacts(basins: NDArray[np.int_], depth: Floats) -> list[tuple[int, int, float]]:
    found = []
    for here, there in ((np.s_[:, :-1], np.s_[:, 1:]), (np.s_[:-1], np.s_[1:])):
        a, b = basins[here], basins[there]
        touch = (a != b) & (a > 0) & (b > 0)
        height = np.minimum(depth[here], depth[there])[touch]
        found += list(zip(a[touch].tolist(), b[touch].tolist(), height.tolist(), strict=True))
    return found


def _root(parent: NDArray[np.int_], node: int) -> int:
    while parent[node] != node:
        node = int(parent[node])
    return node


def fill_holes(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Close what a mask surrounds: the food within a rim belongs to the dish."""
    return cast("NDArray[np.bool_]", ndimage.binary_fill_holes(mask))
