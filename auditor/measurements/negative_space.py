"""Negative space: the share of the frame that no element occupies and that is visually quiet.

Quiet is what stays even when seen from afar: the picture is blurred, within the free area only,
until the weave of a cloth, the grain of wood and small checks are gone; where strong steps
still fill a neighbourhood it is busy. A single step, as between table and wall or at the rim of
a shadow, fills none. A coarser pattern is of a few colours over and over; clutter is of many: what
three colours paint nearly whole is a cloth, and quiet.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from auditor.colorimetry import lab_from_pixels
from auditor.geometry import Box, describe_mask
from auditor.quantity import Quantity

Side = Literal["left", "right", "top", "bottom", "around", "none"]

TOLERANCE = 0.05  # share of the frame: planned shares are written in steps of 0.05
WORKING_SIDE_PX = 128  # the scales below are coarse; more pixels would be blurred away
WEAVE_SIGMA_FRACTION = 0.015  # of the diagonal: weave, grain and checks to 3 % of it are gone
NEIGHBOURHOOD_SIGMA_FRACTION = 0.03  # of the diagonal: a single step fills less than half of it
BUSY_STEP = 8.0  # CIELAB units over 1 % of the diagonal, after the blur: far above soft shadows
BUSY_SHARE = 0.5  # of a neighbourhood, that strong steps fill where it is busy
PATTERN_COLOURS = 3  # stripes and checks of two colours, where they cross a third; a print on both
PATTERN_SHARE = 0.92  # of the variance of colour, that so few explain; greys at random reach 0.89
COLOUR_ROUNDS = 8  # of moving the few colours to the middle of what they paint; then they stand
LEAST_COVER = 0.02  # of a blur's weight in the free area, below which it tells nothing
NO_SPACE_FRACTION = 0.1  # of the frame: less is no negative space to speak of
SIDE_IMBALANCE = 0.1  # of the emptiness, more in one half: a tenth in the other tips it

# Probability that the fraction is right within `TOLERANCE`: a logistic of the cues of
# `confidence_cues`, fitted by `tests/benchmarks/check_elements.py TABLES --fit` (ridge 0.03) on
# 238 rendered tables; cross-validated in six parts by picture its expected calibration error is
# 0.03 (10 bins, right 0.97).
CONFIDENCE_BIAS = -4.95
CONFIDENCE_WEIGHTS = (-2.09, -1.16)
DOUBT_FLOOR = 0.002  # of the frame: even a sure map has soft outlines

Mask = NDArray[np.bool_]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class NegativeSpace:
    """What stays empty.

    Attributes
    ----------
    fraction : float
        Share of the frame, in [0, 1]; the quantity's tolerance is in the same unit.
    largest_region_bbox : Box or None
        Box of the largest connected quiet region.
    largest_region_fraction : float
        Its share of the frame.
    side : str
        Where most of the emptiness lies: left, right, top, bottom, around or none.
    """

    fraction: float
    largest_region_bbox: Box | None
    largest_region_fraction: float
    side: Side


def measure_negative_space(
    pixels: NDArray[np.uint8], occupied: Mask, things: NDArray[np.float32]
) -> Quantity[NegativeSpace]:
    """Measure the quiet ground.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    occupied : (h, w) bool array
        Subject and elements together, covering the frame.
    things : (h, w) float32 array
        In [0, 1], the finder's map that they were cut from.
    """
    small, taken = _brought_together(pixels, occupied)
    empty = ~taken & ~busy_ground(np.asarray(lab_from_pixels(small), dtype=np.float64), ~taken)
    largest = _largest(empty)
    region = describe_mask(largest)
    space = NegativeSpace(
        fraction=float(empty.mean()),
        largest_region_bbox=None if region is None else region.bbox,
        largest_region_fraction=float(largest.mean()),
        side=side_of(empty),
    )
    score = CONFIDENCE_BIAS + sum(
        weight * cue
        for weight, cue in zip(CONFIDENCE_WEIGHTS, confidence_cues(occupied, things), strict=True)
    )
    return Quantity.measured(space, confidence=1 / (1 + math.exp(-score)), tolerance=TOLERANCE)


def _brought_together(pixels: NDArray[np.uint8], occupied: Mask) -> tuple[NDArray[np.uint8], Mask]:
    """Picture and mask at one working size."""
    height, width = pixels.shape[:2]
    scale = WORKING_SIDE_PX / max(height, width)
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    small = Image.fromarray(pixels).resize(size, Image.Resampling.BOX)
    share = Image.fromarray(occupied.astype(np.float32)).resize(size, Image.Resampling.BILINEAR)
    return np.asarray(small), np.asarray(share) >= 0.5


def busy_ground(lab: Floats, free: Mask) -> Mask:
    """Where the free area (h, w) of a CIELAB picture (h, w, 3) is restless from afar."""
    diagonal = math.hypot(*free.shape)
    sigma = WEAVE_SIGMA_FRACTION * diagonal
    weight = ndimage.gaussian_filter(free.astype(np.float64), sigma, mode="nearest")
    steps = np.zeros(free.shape)
    for channel in range(3):
        blurred = ndimage.gaussian_filter(lab[..., channel] * free, sigma, mode="nearest")
        seen = blurred / np.maximum(weight, LEAST_COVER)
        down, across = np.gradient(seen)
        steps += down**2 + across**2
    strong = (np.sqrt(steps) * diagonal / 100 > BUSY_STEP) & free
    reach = NEIGHBOURHOOD_SIGMA_FRACTION * diagonal
    around = ndimage.gaussian_filter(strong.astype(np.float64), reach, mode="nearest")
    ground = ndimage.gaussian_filter(free.astype(np.float64), reach, mode="nearest")
    busy = free & (around > BUSY_SHARE * np.maximum(ground, LEAST_COVER))
    labels, n_regions = ndimage.label(busy)
    for region in range(1, n_regions + 1):
        inside = labels == region
        if _explained(lab[inside]) >= PATTERN_SHARE:
            busy &= ~inside
    return np.asarray(busy)


def _explained(colours: Floats) -> float:
    """Share of the variance of (n, 3) colours that the best few of them explain."""
    away = colours - colours.mean(axis=0)
    total = float((away**2).sum())
    if total == 0:
        return 1.0
    _, axes = np.linalg.eigh(away.T @ away)
    along = away @ axes[:, -1]
    middles = np.linspace(along.min(), along.max(), PATTERN_COLOURS)[:, np.newaxis] * axes[:, -1]
    for _ in range(COLOUR_ROUNDS):
        distances = ((away[:, np.newaxis] - middles) ** 2).sum(axis=2)
        nearest = distances.argmin(axis=1)
        for place in np.unique(nearest):
            middles[place] = away[nearest == place].mean(axis=0)
    left = ((away[:, np.newaxis] - middles) ** 2).sum(axis=2).min(axis=1)
    return 1 - float(left.sum()) / total


def _largest(empty: Mask) -> Mask:
    labels, _ = ndimage.label(empty)
    sizes = np.bincount(labels.ravel())
    sizes[0] = 0
    return np.asarray((labels == int(sizes.argmax())) & empty)


def side_of(empty: Mask) -> Side:
    """Where the emptiness lies: the half that holds clearly more of it than its opposite."""
    if empty.mean() < NO_SPACE_FRACTION:
        return "none"
    x = np.linspace(-1, 1, empty.shape[1])
    y = np.linspace(-1, 1, empty.shape[0])
    to_right = float((empty.mean(axis=0) * np.sign(x)).mean() / empty.mean())
    to_bottom = float((empty.mean(axis=1) * np.sign(y)).mean() / empty.mean())
    if max(abs(to_right), abs(to_bottom)) < SIDE_IMBALANCE:
        return "around"
    if abs(to_right) >= abs(to_bottom):
        return "right" if to_right > 0 else "left"
    return "bottom" if to_bottom > 0 else "top"


def confidence_cues(occupied: Mask, things: NDArray[np.float32]) -> tuple[float, float]:
    """What tells a sure fraction from a doubtful one.

    Returns
    -------
    tuple of two floats
        Doubt: how far the map of things is from what was cut from it (log of the mean). Share of
        the frame that is occupied: what is larger errs by more.
    """
    doubt = float(np.abs(things - occupied).mean())
    return math.log(doubt + DOUBT_FLOOR), float(occupied.mean())
