"""Symmetry of left and right, measured on the picture itself.

The picture, reduced, is compared with its mirror image in CIELAB. Each small neighbourhood may
look for its counterpart a little aside, since nobody places a dish to the pixel. What an exposure
fall-off from one side adds is taken out first: the smooth odd part of the lightness, fitted so that
things that stand out do not bend it. The difference that remains is weighed against how much the
rows of the picture vary at all: an empty table is no symmetry, and neither is a level horizon.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.colorimetry import lab_from_pixels
from auditor.measurements.technique_fit.reduction import reduced

Floats = NDArray[np.float32]

SIDE_PX = 48  # longest side; what is left is the masses that the eye weighs, no grain
SHIFT_PX = 1  # 2 % of the longest side either way: off the axis by half as much (common practice)
NEIGHBOURHOOD_PX = 5  # a tenth of the longest side: enough to tell one thing from another
MIN_VARIATION = 3.0  # CIELAB, root mean square within rows; less is an empty picture
N_REWEIGHTINGS = 3
NOISE_LIGHTNESS = 1.0  # CIELAB; differences below are not what makes a thing stand out
# Of 167 finished food photographs sorted by likeness, those above 0.75 looked symmetrical to the
# eye with few exceptions, those below 0.6 with few did not.
SYMMETRICAL_LIKENESS = 0.75
UNLIKE = 0.5  # a likeness at which nothing of symmetry is left


def mirror_likeness(pixels: NDArray[np.uint8]) -> float | None:
    """Likeness of a picture and its mirror image, at most 1; None for an empty picture.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB; `SIDE_PX` along the longest side are enough.

    Returns
    -------
    float or None
        1 where the halves mirror each other, about 0 where they are as unlike as two pictures.
    """
    lab = _without_fall_off(lab_from_pixels(reduced(pixels, SIDE_PX)))
    variation = ((lab - lab.mean(axis=1, keepdims=True)) ** 2).sum(axis=-1).mean()
    if variation < MIN_VARIATION**2:
        return None
    # Two unrelated pictures differ by the variance of both.
    return float(1 - _least_difference(lab, lab[:, ::-1]).mean() / (2 * variation))


def symmetry_fit(likeness: float) -> float:
    """Bring a likeness onto the scale of `TechniqueFit.fit`."""
    if likeness >= SYMMETRICAL_LIKENESS:
        return min(1.0, 0.5 + 0.5 * (likeness - SYMMETRICAL_LIKENESS) / (1 - SYMMETRICAL_LIKENESS))
    return max(0.0, 0.5 * (likeness - UNLIKE) / (SYMMETRICAL_LIKENESS - UNLIKE))


def _without_fall_off(lab: Floats) -> Floats:
    height, width = lab.shape[:2]
    x = np.broadcast_to(np.linspace(-1, 1, width), (height, width)).ravel()
    y = np.broadcast_to(np.linspace(-1, 1, height)[:, np.newaxis], (height, width)).ravel()
    shapes = np.stack([x, x * y, x**3], axis=1)  # odd in x: what differs under mirroring
    difference = (lab[..., 0] - lab[:, ::-1, 0]).ravel().astype(np.float64)
    weight = np.ones(difference.size)
    slopes: NDArray[np.floating] = np.zeros(3)
    for _ in range(N_REWEIGHTINGS):
        weighted = shapes * weight[:, np.newaxis]
        slopes = np.linalg.lstsq(weighted.T @ shapes, weighted.T @ difference, rcond=None)[0]
        rest = np.abs(difference - shapes @ slopes)
        scale = max(float(np.median(rest)), NOISE_LIGHTNESS)
        weight = 1 / (1 + (rest / scale) ** 2)
    answer = lab.copy()
    answer[..., 0] -= (shapes @ slopes / 2).reshape(height, width).astype(np.float32)
    return answer


def _least_difference(picture: Floats, other: Floats) -> Floats:
    """Squared difference of each neighbourhood from the likest one of `other` near its place."""
    height, width = picture.shape[:2]
    padded = np.pad(other, ((SHIFT_PX, SHIFT_PX), (SHIFT_PX, SHIFT_PX), (0, 0)), mode="edge")
    least = np.full((height, width), np.inf, dtype=np.float32)
    for down in range(2 * SHIFT_PX + 1):
        for across in range(2 * SHIFT_PX + 1):
            shifted = padded[down : down + height, across : across + width]
            squared = ((picture - shifted) ** 2).sum(axis=-1)
            least = np.minimum(least, ndimage.uniform_filter(squared, NEIGHBOURHOOD_PX))
    return least
