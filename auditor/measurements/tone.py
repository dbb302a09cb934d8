"""Tone: lightness, contrast, exposure and clipping."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Tone:
    """Tone of a finished picture.

    Attributes
    ----------
    mean_lightness : float
        Mean CIELAB lightness, in [0, 100].
    contrast : float
        Spread of lightness between its 5th and 95th percentile, in [0, 100].
    exposure_ev : float
        Binary logarithm of the mean linear luminance over middle grey (0.18); two pictures of
        one scene differ in it by their difference in exposure.
    clipped_highlights, clipped_shadows : float
        Share of pixels with a channel at the very end of its range, in [0, 1].
    """

    mean_lightness: float
    contrast: float
    exposure_ev: float
    clipped_highlights: float
    clipped_shadows: float


def measure_tone(pixels: NDArray[np.uint8]) -> Tone:
    """Measure the tone of (H, W, 3) uint8 sRGB pixels."""
    raise NotImplementedError
