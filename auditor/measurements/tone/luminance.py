"""Distribution of luminance over the frame."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import LINEAR_FROM_BYTE, XYZ_FROM_LINEAR, lightness_from_luminance

LEVELS: Final = 1 << 16
"""Levels of luminance. At black one is 0.014 of L*, far below the step of an 8-bit value."""

_CUMULATIVE = np.cumsum(
    np.outer(XYZ_FROM_LINEAR[1], LINEAR_FROM_BYTE.astype(np.float64)), axis=0
) * (LEVELS - 1)

_WEIGHTED: Final = np.diff(np.rint(_CUMULATIVE), axis=0, prepend=0).astype(np.uint16)
"""Luminance that each value of each channel adds, (3, 256). It is rounded after summing over the
channels, so that white gives exactly `LEVELS` - 1: one more would overflow to black."""

LUMINANCE: Final = np.arange(LEVELS) / (LEVELS - 1)
LIGHTNESS: Final = lightness_from_luminance(LUMINANCE)


def planes_of(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Convert (H, W, 3) pixels to contiguous planes (3, H, W)."""
    return np.ascontiguousarray(np.moveaxis(pixels, -1, 0))


def luminance_levels(planes: NDArray[np.uint8]) -> NDArray[np.uint16]:
    """Luminance of (3, H, W) sRGB planes, relative to white, times `LEVELS` - 1."""
    levels: NDArray[np.uint16] = np.take(_WEIGHTED[0], planes[0])
    levels += np.take(_WEIGHTED[1], planes[1])
    levels += np.take(_WEIGHTED[2], planes[2])
    return levels


@dataclass(frozen=True, slots=True)
class Distribution:
    """Count of each level and the running sum, both (LEVELS,), integers stored as floats."""

    counts: NDArray[np.float64]
    running: NDArray[np.float64]

    @classmethod
    def of(cls, levels: NDArray[np.uint16]) -> Distribution:
        """Count the levels of a picture."""
        # Integers stored as floats: products with them are a hundred times as fast.
        counts = np.bincount(levels.ravel(), minlength=LEVELS).astype(np.float64)
        return cls(counts, np.cumsum(counts))

    @property
    def n_pixels(self) -> int:
        """Pixels counted."""
        return int(self.running[-1])

    def mean(self, of_level: NDArray[np.floating]) -> float:
        """Mean over the frame of a value given for each level."""
        return float(self.counts @ of_level) / self.n_pixels

    def lightness_at(self, percentile: float) -> float:
        """Percentile of the lightness."""
        rank = percentile / 100 * (self.n_pixels - 1)
        below, above = np.searchsorted(self.running, [int(rank), -int(-rank // 1)], side="right")
        part = rank - int(rank)
        return float(LIGHTNESS[below] * (1 - part) + LIGHTNESS[above] * part)

    def share_between(self, darkest: float, lightest: float) -> float:
        """Share of the frame with a lightness in [darkest, lightest)."""
        first, last = np.searchsorted(LIGHTNESS, [darkest, lightest])
        return float(self.counts[first:last].sum()) / self.n_pixels

    def trimmed_mean(self, of_level: NDArray[np.floating], low: float, high: float) -> float:
        """Mean of a value given for each level, from percentile `low` to `high` of luminance."""
        bounds = np.array([low, high]) / 100 * self.n_pixels
        inside = np.clip(self.running, *bounds) - np.clip(self.running - self.counts, *bounds)
        return float(inside @ of_level / inside.sum())
