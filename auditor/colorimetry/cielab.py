"""CIELAB (CIE 15:2018; D65, 2 degree observer) and CIEDE2000 differences."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry.ciede2000 import ciede2000
from auditor.colorimetry.srgb import (
    D65_XYZ,
    LINEAR_FROM_BYTE,
    XYZ_FROM_LINEAR,
    linear_from_srgb,
    linear_from_xyz,
    srgb_from_linear,
)

Lab = tuple[float, float, float]

# CIE 15:2018: f(t) is the cube root above t = (6/29)^3 of white, and a straight line below.
KNEE_ROOT = 6 / 29
KNEE = KNEE_ROOT**3
SLOPE = (29 / 6) ** 2 / 3
OFFSET = 4 / 29


@dataclass(frozen=True, slots=True)
class Swatch:
    """A colour and the share of the frame that it covers.

    Attributes
    ----------
    hex : str
        sRGB as ``#rrggbb``.
    lab : tuple of float
        CIELAB, D65, 2 degree observer.
    share : float
        Share of the frame, in [0, 1].
    """

    hex: str
    lab: Lab
    share: float


def _compress(ratio: NDArray[np.floating]) -> NDArray[np.floating]:
    """Compute f(t) of CIE 15:2018 for ratios to white, in the precision of `ratio`."""
    straight = ratio * SLOPE + OFFSET
    return np.where(ratio > KNEE, np.cbrt(ratio), straight).astype(ratio.dtype, copy=False)


def lightness_from_luminance(luminance: NDArray[np.floating]) -> NDArray[np.floating]:
    """CIELAB lightness, in [0, 100], of luminance relative to white; precision is kept."""
    lightness: NDArray[np.floating] = 116 * _compress(np.asarray(luminance)) - 16
    return lightness


def lab_from_linear(linear: NDArray[np.floating]) -> NDArray[np.floating]:
    """CIELAB of (..., 3) linear sRGB, in the precision of `linear`."""
    ratios_from_linear = (XYZ_FROM_LINEAR / D65_XYZ[:, np.newaxis]).astype(linear.dtype)
    x, y, z = np.moveaxis(_compress(linear @ ratios_from_linear.T), -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def lab_from_pixels(pixels: NDArray[np.uint8]) -> NDArray[np.float32]:
    """CIELAB of (..., 3) 8-bit sRGB pixels, of the same shape."""
    return lab_from_linear(LINEAR_FROM_BYTE[pixels]).astype(np.float32, copy=False)


def linear_from_lab(lab: NDArray[np.floating]) -> NDArray[np.float64]:
    """Linear sRGB of (..., 3) CIELAB; outside [0, 1] for colours outside the gamut."""
    values = np.asarray(lab, dtype=np.float64)
    y = (values[..., 0] + 16) / 116
    compressed = np.stack([y + values[..., 1] / 500, y, y - values[..., 2] / 200], axis=-1)
    ratios = np.where(compressed > KNEE_ROOT, compressed**3, (compressed - OFFSET) / SLOPE)
    return linear_from_xyz(ratios * D65_XYZ)


def lab_from_hex(colour: str) -> Lab:
    """CIELAB of ``#rrggbb``."""
    rgb = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)], dtype=np.float64) / 255
    lightness, a, b = (float(v) for v in lab_from_linear(linear_from_srgb(rgb)))
    return (lightness, a, b)


def hex_from_lab(lab: Lab) -> str:
    """Hex sRGB, ``#rrggbb``, of a CIELAB colour, each channel clipped to the gamut."""
    rgb = np.clip(srgb_from_linear(linear_from_lab(np.array(lab, dtype=np.float64))), 0, 1)
    return "#" + "".join(f"{round(float(v) * 255):02x}" for v in rgb)


def colour_difference(first: Lab, second: Lab) -> float:
    """CIEDE2000 difference of two colours (Sharma, Wu, Dalal 2005); 1 is about just noticeable."""
    return float(ciede2000(np.array(first), np.array(second)))


def colour_differences(colour: Lab, others: NDArray[np.floating]) -> NDArray[np.float64]:
    """CIEDE2000 differences of a colour from (..., 3) CIELAB colours."""
    return ciede2000(np.array(colour), others)
