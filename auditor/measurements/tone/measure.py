"""The tone of the whole frame."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import lightness_from_luminance
from auditor.measurements.tone.clipping import Clipping, measure_clipping
from auditor.measurements.tone.luminance import (
    LIGHTNESS,
    LUMINANCE,
    Distribution,
    luminance_levels,
    planes_of,
)

Key = Literal["high", "middle", "low"]

MIDDLE_GREY = 0.18
"""Reflectance of the grey that exposure is measured against; common practice."""

CONTRAST_PERCENTILES = (5.0, 95.0)
"""A few specular points or a black corner are not the picture's contrast; our choice."""

MIDTONE_PERCENTILES = (25.0, 75.0)
"""The middle half of the frame."""

DARKEST_LUMINANCE = 1e-5
"""Lower limit of luminance: a black frame gives -14 EV instead of minus infinity."""

UNCLIPPED_PERCENTILES = (10.0, 70.0)
"""Range of luminance that keeps its exposure difference when a picture is lightened until three
tenths of it are clipped, or darkened until a tenth of it is lost in 8-bit steps; no source."""

HIGH_VALUES_EV, LOW_VALUES_EV = 1.5, -1.5
"""Start of the high values and end of the low values, relative to middle grey: between the zones VI
and VII, and III and IV (Adams, The Negative, 1981, chapter 4, from memory)."""

KEY_SHARE = 0.5
"""The larger part of the frame determines the key; common practice, no source."""

MAX_OPPOSITE_SHARE = 0.15
"""Share of opposite values that a key allows: the dark accent in a high key, the lit dish in a low
one; with more the picture has contrast, not a key (common practice, no source)."""


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
        Binary logarithm of the mean linear luminance over middle grey (0.18). Two pictures of one
        scene differ in it by their difference in exposure, if nothing is clipped.
    clipped_highlights, clipped_shadows : float
        Share of pixels with any channel at the end of its range, in [0, 1].
    midtone_contrast : float
        Spread of lightness between its quartiles, in [0, 100].
    midtone_ev : float
        Like `exposure_ev`, but the mean of the binary logarithm, and only from the 10th to the 70th
        percentile of luminance: it keeps the difference in exposure if highlights are clipped.
    key : str
        ``"high"`` if the high values (more than 1.5 EV above middle grey) fill more than half of
        the frame and the low ones (more than 1.5 EV below) at most 15 %; ``"low"`` the other way
        round; else ``"middle"``.
    clipping : Clipping
        By channel and by place.
    """

    mean_lightness: float
    contrast: float
    exposure_ev: float
    clipped_highlights: float
    clipped_shadows: float
    midtone_contrast: float
    midtone_ev: float
    key: Key
    clipping: Clipping


def measure_tone(pixels: NDArray[np.uint8]) -> Tone:
    """Measure the tone of (H, W, 3) uint8 sRGB pixels."""
    planes = planes_of(pixels)
    tones = Distribution.of(luminance_levels(planes))
    darkest, lightest = (tones.lightness_at(p) for p in CONTRAST_PERCENTILES)
    low, high = (tones.lightness_at(p) for p in MIDTONE_PERCENTILES)
    clipping, blown, blocked = measure_clipping(planes)
    return Tone(
        mean_lightness=tones.mean(LIGHTNESS),
        contrast=max(0.0, lightest - darkest),
        exposure_ev=float(np.log2(max(tones.mean(LUMINANCE), DARKEST_LUMINANCE) / MIDDLE_GREY)),
        clipped_highlights=blown,
        clipped_shadows=blocked,
        midtone_contrast=max(0.0, high - low),
        midtone_ev=tones.trimmed_mean(_EV, *UNCLIPPED_PERCENTILES),
        key=_key(tones),
        clipping=clipping,
    )


def lightness_ev(tone: Tone) -> float:
    """Exposure from the mean lightness, in EV relative to middle grey.

    Lightness follows the cube root of luminance (CIE 15:2018), so this is an average of perceived
    lightness.
    """
    root = max(tone.mean_lightness + 16, 16.1) / 116
    return 3 * math.log2(root) - math.log2(MIDDLE_GREY)


_EV = np.log2(np.maximum(LUMINANCE, DARKEST_LUMINANCE) / MIDDLE_GREY)
_HIGH_LIGHTNESS, _LOW_LIGHTNESS = lightness_from_luminance(
    MIDDLE_GREY * np.exp2(np.array([HIGH_VALUES_EV, LOW_VALUES_EV]))
)


def _key(tones: Distribution) -> Key:
    light = tones.share_between(float(_HIGH_LIGHTNESS), np.inf)
    dark = tones.share_between(-np.inf, float(_LOW_LIGHTNESS))
    if light > KEY_SHARE and dark <= MAX_OPPOSITE_SHARE:
        return "high"
    if dark > KEY_SHARE and light <= MAX_OPPOSITE_SHARE:
        return "low"
    return "middle"
