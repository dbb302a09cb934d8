"""CIEDE2000 colour differences.

G. Sharma, W. Wu, E. N. Dalal: The CIEDE2000 color-difference formula: implementation notes,
supplementary test data, and mathematical observations. Color Research and Application 30 (2005),
21-30. Names and numbers of equations are theirs. scikit-image has the formula too, but takes a
tenth of a second to load; the tests hold both equal.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

TURN = 2 * np.pi
CHROMA_25_TO_7 = 25.0**7  # in equations 4 and 15: below a chroma of about 25 the weights change


def ciede2000(
    first: NDArray[np.floating], second: NDArray[np.floating], *, lightness_factor: float = 1.0
) -> Floats:
    """CIEDE2000 differences of colours; 1 is about just noticeable.

    Parameters
    ----------
    first, second : (..., 3) float arrays
        CIELAB; their shapes are broadcast.
    lightness_factor : float
        The parametric factor kL: differences of lightness are divided by it.

    Returns
    -------
    (...) float array
        At least 0; without dimensions for two single colours.
    """
    lightness_1, a_1, b_1 = np.moveaxis(np.asarray(first, dtype=np.float64), -1, 0)
    lightness_2, a_2, b_2 = np.moveaxis(np.asarray(second, dtype=np.float64), -1, 0)
    # Equations 2 to 7: a' stretches the axis of red and green near grey.
    mean_chroma = 0.5 * (np.hypot(a_1, b_1) + np.hypot(a_2, b_2))
    stretch = 1 + 0.5 * (1 - np.sqrt(_near_grey(mean_chroma)))
    chroma_1, hue_1 = _polar(a_1 * stretch, b_1)
    chroma_2, hue_2 = _polar(a_2 * stretch, b_2)
    is_grey = chroma_1 * chroma_2 == 0  # a grey has no hue
    # Equations 8 to 11.
    chroma_product = np.sqrt(chroma_1 * chroma_2)
    hue_difference = 2 * chroma_product * np.sin(_hue_step(hue_1, hue_2, is_grey) / 2)
    # Equations 12 to 21.
    mean_lightness = (0.5 * (lightness_1 + lightness_2) - 50) ** 2
    mean_chroma = 0.5 * (chroma_1 + chroma_2)
    mean_hue = _mean_hue(hue_1, hue_2, is_grey)
    lightness_scale = 1 + 0.015 * mean_lightness / np.sqrt(20 + mean_lightness)
    chroma_scale = 1 + 0.045 * mean_chroma
    hue_scale = 1 + 0.015 * mean_chroma * _hue_weight(mean_hue)
    # Equation 22.
    lightness = (lightness_2 - lightness_1) / (lightness_factor * lightness_scale)
    chroma = (chroma_2 - chroma_1) / chroma_scale
    hue = hue_difference / hue_scale
    turned = _rotation(mean_hue, mean_chroma) * chroma * hue
    squared: Floats = lightness**2 + chroma**2 + hue**2 + turned
    difference: Floats = np.sqrt(np.maximum(squared, 0))
    return difference


def _near_grey(chroma: Floats) -> Floats:
    """Share that grows from 0 to 1 with the chroma, the root of which equations 4 and 15 use."""
    power = chroma**7
    share: Floats = power / (power + CHROMA_25_TO_7)
    return share


def _polar(a: Floats, b: Floats) -> tuple[Floats, Floats]:
    """Chroma, and hue in [0, 2 pi)."""
    hue = np.arctan2(b, a)
    return np.hypot(a, b), hue + TURN * (hue < 0)


def _hue_step(hue_1: Floats, hue_2: Floats, is_grey: NDArray[np.bool_]) -> Floats:
    """From the first hue to the second, the shorter way round (equation 10)."""
    step = hue_2 - hue_1
    return np.where(is_grey, 0, step - TURN * (step > np.pi) + TURN * (step < -np.pi))


def _mean_hue(hue_1: Floats, hue_2: Floats, is_grey: NDArray[np.bool_]) -> Floats:
    """Middle of two hues, the shorter way round; for a grey, the other's hue (equation 14)."""
    total = hue_1 + hue_2
    is_far, is_low = np.abs(hue_2 - hue_1) > np.pi, total < TURN
    nearer = total + TURN * (is_far & is_low) - TURN * (is_far & ~is_low)
    return np.where(is_grey, total, 0.5 * nearer)


def _hue_weight(hue: Floats) -> Floats:
    """T of equation 15."""
    weight: Floats = (
        1
        - 0.17 * np.cos(hue - np.deg2rad(30))
        + 0.24 * np.cos(2 * hue)
        + 0.32 * np.cos(3 * hue + np.deg2rad(6))
        - 0.20 * np.cos(4 * hue - np.deg2rad(63))
    )
    return weight


def _rotation(hue: Floats, chroma: Floats) -> Floats:
    """R_T of equations 16, 17 and 21: in the blues, chroma and hue are not independent."""
    angle = np.deg2rad(30) * np.exp(-(((np.rad2deg(hue) - 275) / 25) ** 2))
    rotation: Floats = -np.sin(2 * angle) * (2 * np.sqrt(_near_grey(chroma)))
    return rotation
