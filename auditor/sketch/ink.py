"""Separate what is drawn from the paper that it is drawn on.

The paper's brightness varies with light and shadow, slowly or in a step; a line is thin. A grey
closing with a window wider than any line gives the paper alone and keeps the step of a shadow's
edge (mathematical morphology: Serra, Image Analysis and Mathematical Morphology, 1982). The picture
divided by it is the reflectance relative to the paper, as in the correction of uneven lighting of
scanned documents. Light lines on dark paper are measured in the same way, upside down.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

Array = NDArray[np.float32]

# The paper is estimated on a picture reduced by this factor: it varies slowly.
PAPER_REDUCTION = 8
# Width of the widest line that still counts as ink, in px of a picture of `frames.WORKING_SIDE_PX`:
# a broad marker (5 mm on A4) has about 35. Our choice, no source.
WIDEST_LINE_PX = 56
# The darkest paper for which light lines are considered, as sRGB value in [0, 1]: mid-grey.
DARK_PAPER_VALUE = 0.5
# How many times more light lines than dark ones a dark page must have; our choice, no source.
LIGHT_INK_RATIO = 1.5
# Sides of the blocks in which noise is estimated, in px; several hundred pixels make the median
# stable, and a block is smaller than a sheet of paper.
NOISE_BLOCK_PX = 32
# Standard deviation of a normal distribution over its median absolute deviation.
SIGMA_PER_MAD = 1.4826
# Share of the strongest channel in the darkness of a pixel; the rest is the mean of all three. A
# yellow pencil darkens the blue channel alone, a grey one all three, where the mean has less noise.
STRONGEST_CHANNEL_SHARE = 0.5
# Lowest brightness that is divided by, so that noise in black areas is not enlarged.
LEAST_BRIGHTNESS = 0.04


@dataclass(frozen=True, slots=True, eq=False)
class InkMap:
    """What is darker than the paper around it, or lighter on dark paper.

    Attributes
    ----------
    darkness : (H, W) float array
        Contrast of each pixel with the paper around it, in [0, 1]; noise included.
    noise : (H, W) float array
        Standard deviation of the darkness of empty paper, with the texture of the surroundings.
    paper : (h, w, 3) float array
        The paper without lines, sRGB in [0, 1], reduced by `PAPER_REDUCTION`.
    is_light_on_dark : bool
    """

    darkness: Array
    noise: Array
    paper: Array
    is_light_on_dark: bool


def measure_ink(rgb: Array) -> InkMap:
    """Find what is drawn.

    Parameters
    ----------
    rgb : (H, W, 3) float array
        sRGB in [0, 1].
    """
    reduced = block_mean(rgb, PAPER_REDUCTION)
    is_light = _is_light_on_dark(rgb)
    paper = _without_lines(reduced, is_light=is_light)
    darkness = _contrast(rgb, paper, is_light=is_light)
    darkness -= _local_median(darkness)
    noise = SIGMA_PER_MAD * _local_median(np.abs(darkness))
    return InkMap(np.clip(darkness, 0, 1), np.maximum(noise, 1 / 512), paper, is_light)


def block_mean(values: Array, factor: int) -> Array:
    """Reduce an (H, W) or (H, W, 3) array by an integer factor; the last blocks may be smaller."""
    height, width = values.shape[:2]
    more = [(0, -height % factor), (0, -width % factor), (0, 0)][: values.ndim]
    padded = np.pad(values, more, mode="edge") if any(map(any, more)) else values
    # Sums of strided slices: several times faster than a mean over two axes of blocks.
    rows = sum(padded[row::factor] for row in range(factor))
    blocks = sum(np.asarray(rows)[:, column::factor] for column in range(factor))
    return np.asarray(blocks / np.float32(factor * factor), dtype=np.float32)


def mean_of_channels(rgb: Array) -> Array:
    """Mean of the three channels: much faster than a mean over the last, short axis."""
    return np.asarray((rgb[..., 0] + rgb[..., 1] + rgb[..., 2]) / np.float32(3))


def enlarged(values: Array, shape: tuple[int, int], factor: int) -> Array:
    """Interpolate an (h, w) array of block values to (H, W) pixels.

    The last blocks may be smaller, as those of `block_mean`.
    """
    height, width = shape
    small = Image.fromarray(np.ascontiguousarray(values, dtype=np.float32))
    covered = (0.0, 0.0, width / factor, height / factor)
    return np.asarray(small.resize((width, height), Image.Resampling.BILINEAR, box=covered))


def _without_lines(reduced: Array, *, is_light: bool) -> Array:
    size = WIDEST_LINE_PX // PAPER_REDUCTION
    filled = ndimage.grey_opening if is_light else ndimage.grey_closing
    channels = [
        ndimage.gaussian_filter(filled(reduced[..., c], (size, size)), 1.0) for c in range(3)
    ]
    return np.asarray(np.stack(channels, axis=-1), dtype=np.float32)


def _contrast(rgb: Array, paper: Array, *, is_light: bool) -> Array:
    shape = rgb.shape[0], rgb.shape[1]
    total = np.zeros(shape, dtype=np.float32)
    strongest = np.full(shape, -1, dtype=np.float32)
    for channel in range(3):
        ground = enlarged(paper[..., channel], shape, PAPER_REDUCTION)
        values = rgb[..., channel]
        if is_light:
            values, ground = 1 - values, 1 - ground
        part = 1 - values / np.maximum(ground, LEAST_BRIGHTNESS)
        total += part / 3
        np.maximum(strongest, part, out=strongest)
    return (1 - STRONGEST_CHANNEL_SHARE) * total + STRONGEST_CHANNEL_SHARE * strongest


def _is_light_on_dark(rgb: Array) -> bool:
    grey = block_mean(mean_of_channels(rgb), 2)
    height, width = grey.shape
    middle = grey[height // 8 : height - height // 8, width // 8 : width - width // 8]
    if float(np.median(middle)) > DARK_PAPER_VALUE:
        return False
    apart = 6  # px: wider than a pen's line at this size
    lines = []
    for sign in (1, -1):
        signed = sign * ndimage.uniform_filter(middle, 3)
        ridge = signed - np.maximum(np.roll(signed, apart, axis=0), np.roll(signed, -apart, axis=0))
        ridge = np.maximum(
            ridge,
            signed - np.maximum(np.roll(signed, apart, axis=1), np.roll(signed, -apart, axis=1)),
        )
        lines.append(float(np.clip(ridge, 0, None).astype(np.float64).__pow__(2).sum()))
    return lines[0] > LIGHT_INK_RATIO * lines[1]


def _local_median(values: Array) -> Array:
    """Median over blocks, smoothed and interpolated."""
    height, width = values.shape
    block = NOISE_BLOCK_PX
    padded = np.pad(values, [(0, -height % block), (0, -width % block)], mode="reflect")[::2, ::2]
    half = block // 2
    rows, columns = padded.shape[0] // half, padded.shape[1] // half
    blocks = padded.reshape(rows, half, columns, half).swapaxes(1, 2).reshape(rows, columns, -1)
    medians = np.median(blocks, axis=-1).astype(np.float32)
    smooth = ndimage.median_filter(medians, 3)
    return enlarged(smooth, (height, width), block)
