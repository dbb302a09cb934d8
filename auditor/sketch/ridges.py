"""Thin lines in a map of ink, by their direction.

A pen's line is darker than the paper on both of its sides; the edge of a shadow, of a filled area
or of the sheet is darker than one side only. A pixel counts by how much it exceeds the darker of
its two neighbours across the line, at two distances, so that a broad marker and a doubled stroke
both count.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Array = NDArray[np.float32]

# Distances to both neighbours across a line, in px of the reduced map: more than half the width of
# a pencil's and of a marker's line (about 2 and 10 px there). A line doubled at one of the
# distances still counts at the other.
ACROSS_PX = (4, 9)
# Pixels averaged along a line before it is compared with the paper: noise falls, and a line up to
# 20 degrees off still stays within its width.
ALONG_PX = 7
# Height of a ridge that counts in full, in standard deviations of the averaged noise, and the least
# such height as darkness: the faintest pencil (0.03) is just visible to the eye.
SIGNIFICANT_SIGMAS = 4.0
LEAST_HEIGHT = 0.012
# A line's height in the page itself may be this many times smaller than in the map of ink, where
# the channels are weighted otherwise.
STEP_TOLERANCE = 1.5
# Beside a step of brightness, sharpening by cameras and compression draw a faint line: it must be
# at least this share of the step.
STEP_SHARE = 0.5
# Lines fainter than this share of the clear lines of a page are remnants of its print or dirt. The
# lines of a grid, drawn lightly, have about a third, but a frame is found without them.
FAINTEST_SHARE, USUAL_PERCENTILE = 0.33, 80.0
MOST_SAMPLED = 20_000
LEAST_BRIGHTNESS = 0.04  # as in `ink`, so that noise in black areas is no line


@dataclass(frozen=True, slots=True, eq=False)
class Ridges:
    """How clearly a thin line runs through each pixel, in [0, 1].

    Attributes
    ----------
    level : (h, w) float array
        Of lines that run across the page, within about 35 degrees.
    upright : (h, w) float array
        Of lines that run up the page.
    """

    level: Array
    upright: Array


def find_ridges(darkness: Array, noise: Array, brightness: Array) -> Ridges:
    """Find thin dark lines.

    Parameters
    ----------
    darkness, noise : (h, w) float arrays
        Contrast with the paper and its standard deviation.
    brightness : (h, w) float array
        The page itself, for the steps at the edges of sheets and shadows: the estimate of the
        paper is smooth, and what it misses there looks like a line.
    """
    turned = [np.ascontiguousarray(values.T) for values in (darkness, noise, brightness)]
    return Ridges(
        _level_ridges(darkness, noise, brightness),
        np.ascontiguousarray(_level_ridges(*turned).T),
    )


def _level_ridges(darkness: Array, noise: Array, brightness: Array) -> Array:
    smooth = _averaged(darkness)
    bright = np.maximum(_averaged(brightness), LEAST_BRIGHTNESS)
    height = np.zeros_like(smooth)
    for apart in ACROSS_PX:
        above, below = _beside(smooth, apart, "constant")
        exceeds = smooth - np.maximum(above, below)
        first, second = _beside(bright, apart, "edge")
        darker, lighter = np.minimum(first, second), np.maximum(first, second)
        clear = 1 - bright / darker - STEP_SHARE * (1 - darker / lighter)
        np.minimum(exceeds, STEP_TOLERANCE * clear, out=exceeds)
        np.maximum(height, exceeds, out=height)
    needed = np.maximum(SIGNIFICANT_SIGMAS * noise / np.sqrt(2 * ALONG_PX), LEAST_HEIGHT)
    certain = height[height > 2 * needed]
    if certain.size:
        usual = float(np.percentile(certain[:: certain.size // MOST_SAMPLED + 1], USUAL_PERCENTILE))
        needed = np.maximum(needed, FAINTEST_SHARE * usual)
    return np.asarray(np.clip(height / needed, 0, 1))


def _averaged(values: Array) -> Array:
    smooth = ndimage.uniform_filter1d(values, ALONG_PX, axis=1, mode="nearest")
    return np.asarray(ndimage.uniform_filter1d(smooth, 2, axis=0, mode="nearest"))


def _beside(values: Array, apart: int, mode: Literal["constant", "edge"]) -> tuple[Array, Array]:
    """Values above and below each pixel."""
    bordered = np.pad(values, [(apart, apart), (0, 0)], mode=mode)
    return bordered[: -2 * apart], bordered[2 * apart :]
