"""Negative space: the share of the frame that no element occupies and that is visually quiet.

The picture is blurred, within the unoccupied area only, until the weave of a cloth, the grain of
wood and small checks are gone. A neighbourhood that is still filled with strong steps is busy; a
single step, as between table and wall or at the edge of a shadow, does not fill one. A coarse
pattern repeats a few colours while clutter has many, so an area that three colours explain almost
completely is a patterned cloth and counts as quiet.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from auditor.colorimetry import lab_from_pixels
from auditor.geometry import describe_mask
from auditor.measurements.negative_space.outline import outline_of
from auditor.measurements.negative_space.pattern import patterned
from auditor.measurements.negative_space.space import (
    NegativeSpace,
    doubt_of_pattern,
    emptiness,
    side_of,
)
from auditor.quantity import Quantity, probability_within_tolerance
from auditor.reasons import Reason

TOLERANCE = 0.05  # share of the frame: planned shares are written in steps of 0.05
# Of a right fraction: between rendered tables, where the errors are a tenth of this, and 40
# photographs of dishes by many hands, where the median difference from the empty cells counted by
# eye, on a grid of 10 by 10, was 0.03 without patterned ground, and a tenth of them was off by more
# than 0.1.
SPREAD = 0.045
# The scales and thresholds down to `MIN_COVER` have no source: they were chosen on drawn
# cloths, stripes, checks and shelves (those of the tests) and on finished food pictures.
WORKING_SIDE_PX = 128  # the scales below are coarse; more pixels would be blurred away
WEAVE_SIGMA_FRACTION = 0.015  # of the diagonal: removes weave, grain and checks up to 3 % of it
NEIGHBOURHOOD_SIGMA_FRACTION = 0.03  # of the diagonal: a single step fills less than half of it
BUSY_STEP = 8.0  # CIELAB units over 1 % of the diagonal, after the blur: far above soft shadows
BUSY_SHARE = 0.5  # of a neighbourhood: strong steps fill more of it where it is busy
PATTERN_COLOURS = 3  # two-colour stripes and checks have a third where they cross; prints as many
PATTERN_SHARE = 0.92  # of the colour variance that these explain; random greys reach 0.89
COLOUR_ROUNDS = 8  # k-means iterations; the colours have settled by then
MIN_SIDE_PX = 2  # at the working size: a step is between two pixels
MIN_COVER = 0.02  # of a blur's weight in the free area; with less its result is unreliable

# Probability that everything placed was found, so that the fraction of a rendered table is right: a
# logistic function of the cues of `confidence_cues`, fitted by `tests/benchmarks/check_elements.py
# TABLES --fit` (ridge 0.03) on 238 rendered tables. In six-fold cross-validation by picture its
# expected calibration error is 0.03 (10 bins, 0.97 right).
CONFIDENCE_BIAS = -4.95
CONFIDENCE_WEIGHTS = (-2.09, -1.16)
# Range of the cues on those tables; beyond it the logistic is not extrapolated but held constant.
# All 59 of the most confident quarter were right, which supports at most 60 / 61 (Laplace's rule
# of succession).
FITTED_DOUBT = (-5.72, -2.81)
FITTED_OCCUPIED = (0.011, 0.942)
MAX_CONFIDENCE = 0.98
# A frame with less occupied than on any of those tables is another kind of picture: a wall, a
# texture, or a thing that the finder misses. A judgement, no source.
BARE_FRAME_CONFIDENCE = 0.7
DOUBT_FLOOR = 0.002  # of the frame: even a confident map has soft outlines

Mask = NDArray[np.bool_]
Floats = NDArray[np.float64]


def measure_negative_space(
    pixels: NDArray[np.uint8], occupied: Mask, elements_map: NDArray[np.float32]
) -> Quantity[NegativeSpace]:
    """Measure the quiet, unoccupied part of the frame.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    occupied : (h, w) bool array
        Subject and elements together, covering the frame.
    elements_map : (h, w) float32 array
        In [0, 1], the finder's map from which they were cut.

    Returns
    -------
    Quantity of NegativeSpace
        Undetermined with `TOO_SMALL` if the frame is too narrow a strip.
    """
    small, taken = _at_working_size(pixels, occupied)
    if min(taken.shape) < MIN_SIDE_PX:
        return Quantity.undetermined(Reason.TOO_SMALL)
    lab = np.zeros(small.shape)
    lab[~taken] = lab_from_pixels(small[~taken])
    empty = ~taken & ~busy_ground(lab, ~taken)
    largest = _largest_region(empty)
    region = describe_mask(largest)
    whole, plain = emptiness(empty), emptiness(empty & ~patterned(lab, ~taken))
    space = NegativeSpace(
        fraction=whole.fraction,
        largest_region_bbox=None if region is None else region.bbox,
        largest_region_fraction=float(largest.mean()),
        largest_region_outline=outline_of(largest),
        side=side_of(whole),
        to_right=whole.to_right,
        to_bottom=whole.to_bottom,
        plain=plain,
    )
    within = probability_within_tolerance(TOLERANCE, SPREAD)
    are_found = _confidence(occupied, elements_map)
    return Quantity.measured(
        space,
        confidence=are_found * (1 - doubt_of_pattern(space)) * within,
        tolerance=TOLERANCE,
        spread=SPREAD,
    )


def _at_working_size(pixels: NDArray[np.uint8], occupied: Mask) -> tuple[NDArray[np.uint8], Mask]:
    """Picture and mask resized to the working size."""
    height, width = pixels.shape[:2]
    scale = WORKING_SIDE_PX / max(height, width)
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    small = Image.fromarray(pixels).resize(size, Image.Resampling.BOX)
    share = Image.fromarray(occupied.astype(np.float32)).resize(size, Image.Resampling.BILINEAR)
    return np.asarray(small), np.asarray(share) >= 0.5


def busy_ground(lab: Floats, free: Mask) -> Mask:
    """Mask of the busy parts of the free area (h, w) of a CIELAB picture (h, w, 3)."""
    diagonal = math.hypot(*free.shape)
    planes = np.concatenate([np.moveaxis(lab, -1, 0) * free, free[np.newaxis]])
    *colours, weight = _blurred(planes, WEAVE_SIGMA_FRACTION * diagonal)
    smooth = np.array(colours) / np.maximum(weight, MIN_COVER)
    down, across = np.gradient(smooth, axis=(1, 2))
    steps = np.sqrt((down**2 + across**2).sum(axis=0)) * diagonal / 100
    strong: Mask = (steps > BUSY_STEP) & free
    if not strong.any():
        return strong
    areas = np.array([strong, free], dtype=np.float64)
    strong_nearby, free_nearby = _blurred(areas, NEIGHBOURHOOD_SIGMA_FRACTION * diagonal)
    busy = free & (strong_nearby > BUSY_SHARE * np.maximum(free_nearby, MIN_COVER))
    labels, n_regions = ndimage.label(busy)
    is_busy = np.zeros(n_regions + 1, dtype=np.bool_)
    for region in range(1, n_regions + 1):
        is_busy[region] = _explained_variance(lab[labels == region]) < PATTERN_SHARE
    return np.asarray(is_busy[labels], dtype=np.bool_)


def _blurred(planes: Floats, sigma_px: float) -> Floats:
    """Planes (n, h, w) after a Gaussian blur that repeats the edge values."""
    return np.asarray(ndimage.gaussian_filter(planes, sigma_px, mode="nearest", axes=(1, 2)))


def _explained_variance(colours: Floats) -> float:
    """Share of the variance of (n, 3) colours that `PATTERN_COLOURS` means explain (k-means)."""
    centred = colours - colours.mean(axis=0)
    total = float((centred**2).sum())
    if total == 0:
        return 1.0
    _, axes = np.linalg.eigh(centred.T @ centred)
    along = centred @ axes[:, -1]
    means = np.linspace(along.min(), along.max(), PATTERN_COLOURS)[:, np.newaxis] * axes[:, -1]
    nearest = _squared_distances(centred, means).argmin(axis=1)
    for _ in range(COLOUR_ROUNDS):
        for place in np.unique(nearest):
            means[place] = centred[nearest == place].mean(axis=0)
        before, nearest = nearest, _squared_distances(centred, means).argmin(axis=1)
        if np.array_equal(before, nearest):
            break
    return 1 - float(_squared_distances(centred, means).min(axis=1).sum()) / total


def _squared_distances(colours: Floats, means: Floats) -> Floats:
    """Squared distance of each colour (n, 3) from each mean (k, 3), (n, k)."""
    return np.asarray(
        (colours**2).sum(axis=1)[:, np.newaxis] - 2 * colours @ means.T + (means**2).sum(axis=1)
    )


def _largest_region(empty: Mask) -> Mask:
    labels, _ = ndimage.label(empty)
    sizes = np.bincount(labels.ravel())
    sizes[0] = 0
    return np.asarray((labels == int(sizes.argmax())) & empty)


def confidence_cues(occupied: Mask, elements_map: NDArray[np.float32]) -> tuple[float, float]:
    """Cues from which the confidence is predicted.

    Returns
    -------
    tuple of two floats
        Doubt: logarithm of the mean difference between the map and the mask cut from it. Share
        of the frame that is occupied: a larger one has a larger error.
    """
    doubt = float(np.abs(elements_map - occupied).mean())
    return math.log(doubt + DOUBT_FLOOR), float(occupied.mean())


def _confidence(occupied: Mask, elements_map: NDArray[np.float32]) -> float:
    doubt, share = confidence_cues(occupied, elements_map)
    cues = (float(np.clip(doubt, *FITTED_DOUBT)), float(np.clip(share, *FITTED_OCCUPIED)))
    score = CONFIDENCE_BIAS + sum(w * c for w, c in zip(CONFIDENCE_WEIGHTS, cues, strict=True))
    highest = MAX_CONFIDENCE if share >= FITTED_OCCUPIED[0] else BARE_FRAME_CONFIDENCE
    return min(highest, 1 / (1 + math.exp(-score)))
