"""Taking marked pixels out of a picture: they are filled in from their surroundings."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import zoom

from auditor.geometry import mask_window

LEAST_WEIGHT = 1e-6
"""Avoids a division by zero."""

Values = NDArray[np.float32]

MARGIN_PX = 24
"""What around the marked pixels is looked at."""


def filled(pixels: NDArray[np.uint8], mask: NDArray[np.bool_]) -> NDArray[np.uint8]:
    """Fill in marked pixels smoothly.

    The mean of the unmarked pixels in ever larger squares, the smallest first that have some (push
    and pull; Gortler and others: The Lumigraph, 1996).

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
    mask : (H, W) bool array
        True where pixels are filled in.
    """
    window = mask_window(mask, margin_px=MARGIN_PX)
    if window is None or mask.all():
        return pixels
    result = pixels.copy()
    part, marked = result[window], mask[window]
    means = _push_and_pull(part.astype(np.float32), (~marked).astype(np.float32)[..., None])
    part[marked] = np.rint(np.clip(means[marked], 0, 255)).astype(np.uint8)
    return result


def _push_and_pull(values: Values, known: Values) -> Values:
    """Values where they are known, weighted in [0, 1]; elsewhere means over larger squares."""
    height, width = known.shape[:2]
    if max(height, width) == 1 or bool((known == 1).all()):
        return values
    weight = _sum_of_squares(known)
    mean = (_sum_of_squares(values * known) / np.maximum(weight, LEAST_WEIGHT)).astype(np.float32)
    coarse = _push_and_pull(mean, np.minimum(weight, 1))
    doubled = zoom(coarse, (2, 2, 1), order=1, grid_mode=True, mode="nearest")
    pulled: Values = values * known + (1 - known) * doubled[:height, :width]
    return pulled


def _sum_of_squares(values: Values) -> Values:
    """Sums of 2 by 2 pixels; beyond an odd edge is nothing."""
    height, width = values.shape[:2]
    even = np.pad(values, ((0, height % 2), (0, width % 2), (0, 0)))
    total: Values = even[::2, ::2] + even[1::2, ::2] + even[::2, 1::2] + even[1::2, 1::2]
    return total
