"""White point, exposure and saturation of sRGB pixels."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import (
    LINEAR_FROM_BYTE,
    lab_from_linear,
    linear_from_lab,
    shift_mired,
    srgb_from_linear,
)

# Rows worked on at once, so that the floating-point copies of a large picture stay small.
_ROWS_AT_ONCE = 256
# A colour made stronger leaves the gamut sooner or later. It is then brought back towards its grey
# in steps of this share of what it gained (our choice, no source).
_GAMUT_STEPS = 8


def recoloured(
    pixels: NDArray[np.uint8], mired: float, exposure_ev: float, saturation: float
) -> NDArray[np.uint8]:
    """Shift the white point, then expose, then scale the chroma.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    mired : float
        Shift of the white point from D65; positive is warmer. Neutrals keep their luminance.
    exposure_ev : float
        Linear light is multiplied by ``2 ** exposure_ev``; what goes beyond white is clipped.
    saturation : float
        Factor of the CIELAB chroma; not negative. Lightness and hue stay, and a colour stays in
        the gamut: where it would leave it, it gains less.

    Returns
    -------
    (H, W, 3) uint8 array
        sRGB.
    """
    if not mired and not exposure_ev and saturation == 1.0:
        return pixels
    parts = [
        _recoloured(pixels[row : row + _ROWS_AT_ONCE], mired, exposure_ev, saturation)
        for row in range(0, len(pixels), _ROWS_AT_ONCE)
    ]
    return np.concatenate(parts)


def _recoloured(
    pixels: NDArray[np.uint8], mired: float, exposure_ev: float, saturation: float
) -> NDArray[np.uint8]:
    linear = exposed(LINEAR_FROM_BYTE[pixels], exposure_ev)
    if mired:
        linear = shift_mired(linear, mired)
    linear = saturated(np.clip(linear, 0, 1), saturation)
    encoded = srgb_from_linear(np.clip(linear, 0, 1))
    coded: NDArray[np.uint8] = np.rint(encoded * 255).astype(np.uint8)
    return coded


def exposed(linear: NDArray[np.floating], exposure_ev: float) -> NDArray[np.float64]:
    """Linear light after a change of exposure; not clipped."""
    light: NDArray[np.float64] = np.asarray(linear, dtype=np.float64) * 2.0**exposure_ev
    return light


def saturated(linear: NDArray[np.floating], factor: float) -> NDArray[np.float64]:
    """Scale the CIELAB chroma of (..., 3) linear sRGB in [0, 1], within the gamut."""
    light = np.asarray(linear, dtype=np.float64)
    if factor == 1.0:
        return light
    lab = lab_from_linear(light)
    scaled = _with_chroma(lab, factor)
    for step in range(1, _GAMUT_STEPS + 1):
        outside = ((scaled < 0) | (scaled > 1)).any(axis=-1)
        if factor < 1.0 or not outside.any():
            break
        less = 1 + (factor - 1) * (1 - step / _GAMUT_STEPS)
        scaled[outside] = _with_chroma(lab[outside], less)
    clipped: NDArray[np.float64] = np.clip(scaled, 0, 1)
    return clipped


def _with_chroma(lab: NDArray[np.floating], factor: float) -> NDArray[np.float64]:
    return linear_from_lab(lab * np.array([1.0, factor, factor]))
