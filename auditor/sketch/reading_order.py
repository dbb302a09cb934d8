"""The order in which the frames of a page are read."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

# Frames stand in one row if they share at least this much of the lower one's height.
SHARED_HEIGHT = 0.5


def reading_order(frames: list[NDArray[np.float64]]) -> list[int]:
    """Indices of frames, rows from the top, each from the left.

    Parameters
    ----------
    frames : list of (4, 2) float array
        Corners on the plane of the page, x to the right along the frames, y downwards.
    """
    tops = [float(points[:2, 1].mean()) for points in frames]
    bottoms = [float(points[2:, 1].mean()) for points in frames]
    middles = [float(points[:, 0].mean()) for points in frames]
    left = sorted(range(len(frames)), key=lambda index: tops[index] + bottoms[index])
    order: list[int] = []
    while left:
        first = left[0]
        row = [
            index
            for index in left
            if min(bottoms[index], bottoms[first]) - max(tops[index], tops[first])
            >= SHARED_HEIGHT * min(bottoms[index] - tops[index], bottoms[first] - tops[first])
        ]
        order += sorted(row, key=lambda index: middles[index])
        left = [index for index in left if index not in row]
    return order
