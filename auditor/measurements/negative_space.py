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
from auditor.reasons import Reason

Side = Literal["left", "right", "top", "bottom", "around", "none"]

TOLERANCE = 0.05  # share of the frame: planned shares are written in steps of 0.05
# The scales and thresholds down to `SIDE_IMBALANCE` have no source: they were read from drawn
# cloths, stripes, checks and shelves (the tests' own) and from finished food pictures.
WORKING_SIDE_PX = 128  # the scales below are coarse; more pixels would be blurred away
WEAVE_SIGMA_FRACTION = 0.015  # of the diagonal: weave, grain and checks to 3 % of it are gone
NEIGHBOURHOOD_SIGMA_FRACTION = 0.03  # of the diagonal: a single step fills less than half of it
BUSY_STEP = 8.0  # CIELAB units over 1 % of the diagonal, after the blur: far above soft shadows
BUSY_SHARE = 0.5  # of a neighbourhood, that strong steps fill where it is busy
PATTERN_COLOURS = 3  # stripes and checks of two colours, where they cross a third; a print on both
PATTERN_SHARE = 0.92  # of the variance of colour, that so few explain; greys at random reach 0.89
COLOUR_ROUNDS = 8  # of moving the few colours to the middle of what they paint; then they stand
LEAST_SIDE_PX = 2  # at the working size: a step is between two pixels
LEAST_COVER = 0.02  # of a blur's weight in the free area, below which it tells nothing
NO_SPACE_FRACTION = 0.1  # of the frame: less is no negative space to speak of
SIDE_IMBALANCE = 0.1  # of the emptiness, more in one half: a tenth in the other tips it

# Probability that the fraction is right within `TOLERANCE`: a logistic of the cues of
# `confidence_cues`, fitted by `tests/benchmarks/check_elements.py TABLES --fit` (ridge 0.03) on
# 238 rendered tables; cross-validated in six parts by picture its expected calibration error is
# 0.03 (10 bins, right 0.97).
CONFIDENCE_BIAS = -4.95
CONFIDENCE_WEIGHTS = (-2.09, -1.16)
# The cues of those tables, between which alone the logistic was fitted: past an end it says what it
# says there. Of the surest quarter all 59 were right, which speaks for 60 / 61 (Laplace's rule of
# succession) and no more.
FITTED_DOUBT = (-5.72, -2.81)
FITTED_OCCUPIED = (0.011, 0.942)
MOST_CONFIDENCE = 0.98
# With less occupied than on any of them the frame is another kind of picture: a wall, a texture, a
# thing that the finder does not see. A judgement, no source.
BARE_FRAME_CONFIDENCE = 0.7
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

    Returns
    -------
    Quantity of NegativeSpace
        Undetermined with `TOO_SMALL` where the frame is a strip too narrow to have a ground.
    """
    small, taken = _brought_together(pixels, occupied)
    if min(taken.shape) < LEAST_SIDE_PX:
        return Quantity.undetermined(Reason.TOO_SMALL)
    lab = np.zeros(small.shape)
    lab[~taken] = lab_from_pixels(small[~taken])
    empty = ~taken & ~busy_ground(lab, ~taken)
    largest = _largest(empty)
    region = describe_mask(largest)
    space = NegativeSpace(
        fraction=float(empty.mean()),
        largest_region_bbox=None if region is None else region.bbox,
        largest_region_fraction=float(largest.mean()),
        side=side_of(empty),
    )
    return Quantity.measured(space, confidence=_confidence(occupied, things), tolerance=TOLERANCE)


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
    planes = np.concatenate([np.moveaxis(lab, -1, 0) * free, free[np.newaxis]])
    *colours, weight = _blurred(planes, WEAVE_SIGMA_FRACTION * diagonal)
    seen = np.array(colours) / np.maximum(weight, LEAST_COVER)
    down, across = np.gradient(seen, axis=(1, 2))
    steps = np.sqrt((down**2 + across**2).sum(axis=0)) * diagonal / 100
    strong: Mask = (steps > BUSY_STEP) & free
    if not strong.any():
        return strong
    areas = np.array([strong, free], dtype=np.float64)
    around, ground = _blurred(areas, NEIGHBOURHOOD_SIGMA_FRACTION * diagonal)
    busy = free & (around > BUSY_SHARE * np.maximum(ground, LEAST_COVER))
    labels, n_regions = ndimage.label(busy)
    is_busy = np.zeros(n_regions + 1, dtype=np.bool_)
    for region in range(1, n_regions + 1):
        is_busy[region] = _explained(lab[labels == region]) < PATTERN_SHARE
    return np.asarray(is_busy[labels], dtype=np.bool_)


def _blurred(planes: Floats, sigma_px: float) -> Floats:
    """Planes (n, h, w) after a Gaussian blur; past its edge each goes on as it ends there."""
    return np.asarray(ndimage.gaussian_filter(planes, sigma_px, mode="nearest", axes=(1, 2)))


def _explained(colours: Floats) -> float:
    """Share of the variance of (n, 3) colours that the best few of them explain."""
    away = colours - colours.mean(axis=0)
    total = float((away**2).sum())
    if total == 0:
        return 1.0
    _, axes = np.linalg.eigh(away.T @ away)
    along = away @ axes[:, -1]
    middles = np.linspace(along.min(), along.max(), PATTERN_COLOURS)[:, np.newaxis] * axes[:, -1]
    nearest = _distances(away, middles).argmin(axis=1)
    for _ in range(COLOUR_ROUNDS):
        for place in np.unique(nearest):
            middles[place] = away[nearest == place].mean(axis=0)
        before, nearest = nearest, _distances(away, middles).argmin(axis=1)
        if np.array_equal(before, nearest):
            break
    return 1 - float(_distances(away, middles).min(axis=1).sum()) / total


def _distances(colours: Floats, middles: Floats) -> Floats:
    """Squared distance of each colour (n, 3) from each middle (k, 3), (n, k)."""
    return np.asarray(
        (colours**2).sum(axis=1)[:, np.newaxis] - 2 * colours @ middles.T + (middles**2).sum(axis=1)
    )


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


def _confidence(occupied: Mask, things: NDArray[np.float32]) -> float:
    doubt, share = confidence_cues(occupied, things)
    cues = (float(np.clip(doubt, *FITTED_DOUBT)), float(np.clip(share, *FITTED_OCCUPIED)))
    score = CONFIDENCE_BIAS + sum(w * c for w, c in zip(CONFIDENCE_WEIGHTS, cues, strict=True))
    most = MOST_CONFIDENCE if share >= FITTED_OCCUPIED[0] else BARE_FRAME_CONFIDENCE
    return min(most, 1 / (1 + math.exp(-score)))
