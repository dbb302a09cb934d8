"""Symmetry of left and right, measured on the picture itself.

The reduced picture is compared with its mirror image in CIELAB. The counterpart of each small
neighbourhood may lie slightly aside, since nobody places a dish to the pixel. A fall-off of the
light from one side is removed first: the smooth odd part of the lightness, by a robust fit that
ignores things that stand out. The remaining difference is divided by the variation within the rows
of the picture: neither an empty table nor a level horizon is a symmetry.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.colorimetry import lab_from_pixels
from auditor.measurements.technique_fit.reduction import reduced

Floats = NDArray[np.float32]

SIDE_PX = 48  # longest side; keeps the large masses and no grain
SHIFT_PX = 1  # 2 % of the longest side either way: half as much off the axis (common practice)
NEIGHBOURHOOD_PX = 5  # a tenth of the longest side: enough to distinguish things
MIN_VARIATION = 3.0  # CIELAB, root mean square within rows; less is an empty picture
N_REWEIGHTINGS = 3
NOISE_LIGHTNESS = 1.0  # CIELAB; a smaller difference does not make a thing stand out
# Of 167 finished food photographs sorted by likeness, nearly all above 0.75 looked symmetrical and
# nearly all below 0.6 did not.
SYMMETRICAL_LIKENESS = 0.75
UNLIKE = 0.5  # likeness at which no symmetry is left


def mirror_likeness(pixels: NDArray[np.uint8]) -> float | None:
    """Likeness of a picture and its mirror image, at most 1; None for an empty picture.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB; `SIDE_PX` along the longest side are enough.

    Returns
    -------
    float or None
        1 if the halves mirror each other, about 0 if they are as unlike as two pictures.
    """
    lab = _without_fall_off(lab_from_pixels(reduced(pixels, SIDE_PX)))
    variation = ((lab - lab.mean(axis=1, keepdims=True)) ** 2).sum(axis=-1).mean()
    if variation < MIN_VARIATION**2:
        return None
    # Two unrelated pictures differ by the variance of both.
    return float(1 - _least_difference(lab, lab[:, ::-1]).mean() / (2 * variation))


def symmetry_fit(likeness: float) -> float:
    """Convert a likeness to the scale of `TechniqueFit.fit`."""
    if likeness >= SYMMETRICAL_LIKENESS:
        return min(1.0, 0.5 + 0.5 * (likeness - SYMMETRICAL_LIKENESS) / (1 - SYMMETRICAL_LIKENESS))
    return max(0.0, 0.5 * (likeness - UNLIKE) / (SYMMETRICAL_LIKENESS - UNLIKE))


def _without_fall_off(lab: Floats) -> Floats:
    height, width = lab.shape[:2]
    x = np.broadcast_to(np.linspace(-1, 1, width), (height, width)).ravel()
    y = np.broadcast_to(np.linspace(-1, 1, height)[:, np.newaxis], (height, width)).ravel()
    shapes = np.stack([x, x * y, x**3], axis=1)  # odd in x: they change sign under mirroring
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
    """Squared difference of each neighbourhood from the most similar one of `other` nearby."""
    height, width = picture.shape[:2]
    padded = np.pad(other, ((SHIFT_PX, SHIFT_PX), (SHIFT_PX, SHIFT_PX), (0, 0)), mode="edge")
    least = np.full((height, width), np.inf, dtype=np.float32)
    for down in range(2 * SHIFT_PX + 1):
        for across in range(2 * SHIFT_PX + 1):
            shifted = padded[down : down + height, across : across + width]
            squared = ((picture - shifted) ** 2).sum(axis=-1)
            least = np.minimum(least, ndimage.uniform_filter(squared, NEIGHBOURHOOD_PX))
    return least
