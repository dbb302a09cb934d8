"""Tone: lightness, contrast, exposure and clipping."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import LINEAR_FROM_BYTE, XYZ_FROM_LINEAR, lightness_from_luminance

MIDDLE_GREY = 0.18
"""Reflectance of the grey that exposure is measured against; common practice."""

CONTRAST_PERCENTILES = (5.0, 95.0)
"""A few specular points or a black corner are not the picture's contrast; our choice."""

DARKEST_LUMINANCE = 1e-5
"""Floor of the mean luminance: a black frame reads -14 EV instead of minus infinity."""


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


def _luminance(pixels: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Luminance relative to white: three look-ups and a sum."""
    weights = XYZ_FROM_LINEAR[1].astype(np.float32)
    red, green, blue = (
        np.take(LINEAR_FROM_BYTE * weight, pixels[..., channel])
        for channel, weight in enumerate(weights)
    )
    luminance: NDArray[np.float32] = red + green + blue
    return luminance


def measure_tone(pixels: NDArray[np.uint8]) -> Tone:
    """Measure the tone of (H, W, 3) uint8 sRGB pixels."""
    luminance = _luminance(pixels).ravel()
    lightness = lightness_from_luminance(luminance)
    darkest, lightest = np.percentile(lightness, CONTRAST_PERCENTILES)
    mean_luminance = max(float(luminance.mean(dtype=np.float64)), DARKEST_LUMINANCE)
    red, green, blue = pixels[..., 0], pixels[..., 1], pixels[..., 2]
    return Tone(
        mean_lightness=float(lightness.mean(dtype=np.float64)),
        contrast=float(lightest - darkest),
        exposure_ev=float(np.log2(mean_luminance / MIDDLE_GREY)),
        clipped_highlights=float(((red == 255) | (green == 255) | (blue == 255)).mean()),
        clipped_shadows=float(((red == 0) | (green == 0) | (blue == 0)).mean()),
    )
