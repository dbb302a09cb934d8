"""The food on a dish that nearly fills the frame.

Such a dish is the setting: where it lies is decided by the frame, and what a viewer looks at is the
food. Within the dish's mask, pixels are divided into food and crockery by colour and texture. The
division starts from the depth in the mask, since food lies away from the rim, and is repeated with
the colours that each part turned out to have.

Constants "from the food pictures" were chosen on the 13 full dishes among 70 photographs of dishes
by many hands, by the overlap of the food's box with boxes drawn by eye.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from auditor.colorimetry import lab_from_pixels
from auditor.measurements.subject.found import FoundSubject, found_subject
from auditor.measurements.subject.silhouette import Mask, Silhouette, filled

# Shares of the frame from which a dish nearly fills it, or is cut by two opposite sides of it. From
# the food pictures: the smallest dish marked as full has 0.60.
FULL_DISH_SHARE = 0.55
CUT_DISH_SHARE = 0.4
CUT_SIDE_SHARE = 0.1  # of a side, within the dish: less is a rim that only touches it; no source

# Depth in the mask, of its greatest: the rim is shallower, the middle deeper. No source.
RIM_DEPTH = 0.15
MIDDLE_DEPTH = 0.7
# Shared part of the rim's histogram and that of the middle, and of the food found: with more, no
# crockery can be told from food, as with cookies on paper. From the food pictures: 11 of 13 full
# dishes have less of both, and all without visible crockery more of one.
MAX_MIDDLE_OVERLAP, MAX_FOOD_OVERLAP = 0.45, 0.35
MIN_FOOD_SHARE, MAX_FOOD_SHARE = 0.08, 0.95  # of the dish; outside, the division failed. No source

# Log odds of food by depth: 0 at this depth, rising with it. They begin the division and then
# fade, since a plain plate may be bare nearly to its middle. From the food pictures.
EVEN_DEPTH = 0.3
ODDS_PER_DEPTH = 8.0
LAST_DEPTH_WEIGHT = 0.1
COLOUR_WEIGHT = 2.0  # of the log odds by colour; from the food pictures
N_ROUNDS = 6  # more change nothing on the food pictures
SMOOTHING_PX = 1.5  # of the log odds, pixels of the mask
PART_SHARE = 0.15  # of the largest part of food: less is a stray spot. As for the subject

# Cells of the histograms: lightness, a*, b* in steps that noise does not cross, and the mean
# difference of neighbouring pixels in levels of 255, in octaves. No source.
LIGHTNESS_STEP, OPPONENT_STEP, OPPONENT_LIMIT = 10.0, 10.0, 60.0
TEXTURE_LEVELS = (3.0, 6.0, 12.0, 24.0)
_SHAPE = (10, 12, 12, len(TEXTURE_LEVELS) + 1)
CELL_BLUR = 0.5  # cells: neighbouring cells are nearly the same colour; from the food pictures
_EMPTY_CELL = 1e-5  # share of all pixels that an empty cell is taken to hold

# The food's confidence is at most this. Of the 11 food pictures on which food was told from its
# dish, the centre of its box was within `TOLERANCE` of that marked by eye on 10.
FOOD_CONFIDENCE = 0.85


def food_on_dish(pixels: NDArray[np.uint8], dish: FoundSubject) -> FoundSubject:
    """Take the food on a dish for the subject if the dish nearly fills the frame.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    dish : FoundSubject

    Returns
    -------
    FoundSubject
        The region is that of the food and `is_food_on_dish` is true; the mask stays that of the
        dish. The subject given if there is no such dish, or no food can be told from it.
    """
    confidence = dish.region.confidence
    if confidence is None or not is_full(dish.mask):
        return dish
    food = food_mask(pixels, dish.mask)
    if food is None:
        return dish
    region = found_subject(food, min(confidence, FOOD_CONFIDENCE)).region
    return replace(dish, region=region, is_food_on_dish=True)


def is_full(mask: Mask) -> bool:
    """True if a mask nearly fills the frame, or is large and cut by two opposite sides."""
    share = mask.mean()
    if share >= FULL_DISH_SHARE:
        return True
    top, bottom, left, right = (
        side.mean() >= CUT_SIDE_SHARE for side in (mask[0], mask[-1], mask[:, 0], mask[:, -1])
    )
    return bool(share >= CUT_DISH_SHARE and ((top and bottom) or (left and right)))


def food_mask(pixels: NDArray[np.uint8], dish: Mask) -> Mask | None:
    """The food within a dish's mask; None if it cannot be told from crockery."""
    depth = Silhouette(dish).depth[dish]
    depth = depth / depth.max()
    cells = _cells(pixels, dish.shape)[dish]
    histogram = partial(_histogram, cells)
    rim, middle = histogram(depth < RIM_DEPTH), histogram(depth > MIDDLE_DEPTH)
    if np.minimum(rim, middle).sum() > MAX_MIDDLE_OVERLAP:
        return None
    by_depth = ODDS_PER_DEPTH * (depth - EVEN_DEPTH)
    weight = ndimage.gaussian_filter(dish.astype(np.float64), SMOOTHING_PX)
    odds = np.zeros(dish.shape)
    smooth = by_depth
    for weight_of_depth in np.linspace(1, LAST_DEPTH_WEIGHT, N_ROUNDS):
        probability = 1 / (1 + np.exp(-np.clip(smooth, -20, 20)))
        food, crockery = histogram(probability), histogram(1 - probability)
        by_colour = np.log((food + _EMPTY_CELL) / (crockery + _EMPTY_CELL)).ravel()[cells]
        odds[dish] = weight_of_depth * by_depth + COLOUR_WEIGHT * by_colour
        smooth = ndimage.gaussian_filter(odds, SMOOTHING_PX)[dish] / weight[dish]
    mask = np.zeros(dish.shape, dtype=np.bool_)
    mask[dish] = smooth > 0
    mask = _main_parts(mask) & dish
    is_divided = MIN_FOOD_SHARE <= mask.sum() / dish.sum() <= MAX_FOOD_SHARE
    is_unlike = np.minimum(rim, histogram(mask[dish])).sum() <= MAX_FOOD_OVERLAP
    return mask if is_divided and is_unlike else None


def _cells(pixels: NDArray[np.uint8], shape: tuple[int, ...]) -> NDArray[np.intp]:
    """Number of the histogram's cell of each pixel of a mask."""
    size = (shape[1], shape[0])
    picture = Image.fromarray(pixels)
    lab = lab_from_pixels(np.asarray(picture.resize(size, Image.Resampling.BOX)))
    lightness = np.clip(lab[..., 0] / LIGHTNESS_STEP, 0, _SHAPE[0] - 1)
    opponent = np.clip((lab[..., 1:] + OPPONENT_LIMIT) / OPPONENT_STEP, 0, _SHAPE[1] - 1)
    texture = np.digitize(_texture(picture, size), TEXTURE_LEVELS)
    index = (lightness, opponent[..., 0], opponent[..., 1], texture)
    return np.ravel_multi_index(tuple(part.astype(np.intp) for part in index), _SHAPE)


def _texture(picture: Image.Image, size: tuple[int, int]) -> NDArray[np.float32]:
    """Mean difference of neighbouring pixels, down and across, around each pixel of a mask."""
    grey = np.asarray(picture.convert("L")).astype(np.int16)
    steps = np.zeros(grey.shape, dtype=np.int16)
    steps[:, 1:] = np.abs(grey[:, 1:] - grey[:, :-1])
    steps[1:] += np.abs(grey[1:] - grey[:-1])
    mean = Image.fromarray(steps.astype(np.float32)).resize(size, Image.Resampling.BOX)
    blurred: NDArray[np.float32] = ndimage.gaussian_filter(np.asarray(mean), 1.0)
    return blurred


def _histogram(cells: NDArray[np.intp], weights: NDArray[np.generic]) -> NDArray[np.float64]:
    """Shares of the weight in the cells, blurred; they add up to 1."""
    counts = np.bincount(cells, weights.astype(np.float64), int(np.prod(_SHAPE))).reshape(_SHAPE)
    blurred = ndimage.gaussian_filter(counts, CELL_BLUR, mode="nearest")
    shares: NDArray[np.float64] = blurred / max(blurred.sum(), 1e-9)
    return shares


def _main_parts(mask: Mask) -> Mask:
    """The largest part and those of similar size, their holes filled."""
    labels, n_parts = ndimage.label(mask)
    sizes = np.bincount(labels.ravel(), minlength=n_parts + 1)
    sizes[0] = 0
    is_kept = (sizes > 0) & (sizes >= PART_SHARE * sizes.max())
    return filled(is_kept[labels])
