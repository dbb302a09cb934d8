"""Properties of a mask: its depth, its parts and lobes, its centroid."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import Point, mask_window

# Of a part's greatest depth: a shallower neck divides the part into lobes. Two equal discs whose
# centres lie 1.6 radii apart have a neck of 0.6 (Pythagoras); counting them as two is a judgement.
NECK_RATIO = 0.6

Mask = NDArray[np.bool_]
Labels = NDArray[np.int32]


@dataclass(frozen=True)
class Silhouette:
    """A mask (h, w) with properties that are computed once."""

    mask: Mask

    @cached_property
    def depth(self) -> NDArray[np.float64]:
        """Distance to the outline in pixels; the frame's edge does not count as outline."""
        depth = np.zeros(self.mask.shape)
        window = mask_window(self.mask, margin_px=1)
        if window is not None:
            padded = np.pad(self.mask[window], 1, mode="edge")
            depth[window] = ndimage.distance_transform_edt(padded)[1:-1, 1:-1]
        return depth

    @cached_property
    def lobes(self) -> Labels:
        """Label map of the mask's parts, with parts divided into lobes at their necks."""
        parts, n_parts = ndimage.label(self.mask)
        deepest = np.ones(n_parts + 1)
        np.maximum.at(deepest, parts[self.mask], self.depth[self.mask])
        middles, n_middles = ndimage.label(self.mask & (self.depth >= NECK_RATIO * deepest[parts]))
        if n_middles == n_parts:
            return np.asarray(parts, dtype=np.int32)
        lobes = np.zeros(self.mask.shape, dtype=np.int32)
        window = mask_window(self.mask, margin_px=0)
        if window is not None:
            from skimage.segmentation import watershed  # slow to load; many pictures do without

            mask, summits = self.mask[window], middles[window]
            lobes[window] = watershed(-self.depth[window], summits, mask=mask)
        return lobes


def filled(mask: Mask) -> Mask:
    """The mask with its holes filled: with all background that does not reach the frame's edge."""
    ground, n_grounds = ndimage.label(~mask)
    open_ = np.zeros(n_grounds + 1, dtype=np.bool_)
    for edge in (ground[0], ground[-1], ground[:, 0], ground[:, -1]):
        open_[edge] = True
    open_[0] = False  # the mask itself
    return np.asarray(~open_[ground], dtype=np.bool_)


def centroid(mask: Mask) -> Point:
    """Mean position of the pixels of a mask, which must not be empty."""
    x, y = pixel_positions(mask.shape)
    total = int(mask.sum())
    return Point(float(mask.sum(axis=0) @ x[0]) / total, float(mask.sum(axis=1) @ y[:, 0]) / total)


def pixel_positions(shape: tuple[int, ...]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Position in the frame of each pixel's centre: x (1, w) and y (h, 1)."""
    height, width = shape
    x, y = (np.arange(width) + 0.5) / width, (np.arange(height) + 0.5) / height
    return x[np.newaxis], y[:, np.newaxis]


def distance_px(shape: tuple[int, ...], point: Point) -> NDArray[np.float64]:
    """Distance of each pixel of a frame from a position, in pixels."""
    height, width = shape
    x, y = pixel_positions(shape)
    return np.sqrt(((x - point.x) * width) ** 2 + ((y - point.y) * height) ** 2)
