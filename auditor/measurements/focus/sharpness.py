"""Sharpness of each tile.

Sharpness is the share of the change over a short distance that occurs over a quarter of it: the
ratio of the energies of fine and coarse differences. This is the idea of the re-blur measure of
Crete and others (The blur effect: perception and estimation with a new no-reference perceptual blur
metric, SPIE 6492, 2007) without the blurring. Contrast cancels in the ratio. Noise adds the same
energy to both and is subtracted. Tiles without texture are not used.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.focus.differences import (
    ACROSS,
    COARSE_RATIO,
    DOWN,
    DifferenceEnergies,
    Tiles,
    difference_energies,
)

SMALLEST_SIDE_PX = 64
"""Shortest side of a picture below which tiles have too few differences."""

TEXTURE_CODE_VALUES = 6.0
"""Root mean square of the coarse differences, 8-bit code values, above which a tile has texture:
about the least visible contrast of a texture; common practice, no source."""

TEXTURE_OVER_NOISE = 5.0
"""Energy of the coarse differences relative to that of the noise above which a tile has texture."""

WHITE_RATIO = 0.5
"""Ratio of fine to coarse energy above which a tile shows noise: 1 is white noise, 1/4 the sharpest
edge."""

NOISE_PERCENTILE = 5.0
"""Percentile of the tiles from which the noise is estimated where every tile has texture."""

QUIET_PERCENTILE = 10.0
"""Percentile of the fine energy that the noise cannot exceed: every tile has noise, while a fine
weave looks like noise in some tiles only."""

CHANCE_DEVIATIONS = 2.0
"""Standard deviations of a tile's noise energy that are subtracted in addition to its mean: the
sharpest of many tiles are used, and noise must not make one sharp."""

MIN_ENERGY = 1e-9
"""Floor of the coarse energy, to avoid a division by zero."""


@dataclass(frozen=True, slots=True)
class SharpnessMap:
    """Sharpness of each tile.

    Attributes
    ----------
    sharpness : (rows, columns) float array
        In [0, 1]: 0 for a long ramp, 1 for a step; meaningless where there is no texture.
    textured : (rows, columns) bool array
        True where a tile has enough texture.
    energies : DifferenceEnergies
    noise : float
        Energy of the noise in a difference in one direction, squared 8-bit code values.
    """

    sharpness: Tiles
    textured: NDArray[np.bool_]
    energies: DifferenceEnergies
    noise: float


def sharpness_map(detail: NDArray[np.uint8]) -> SharpnessMap:
    """Measure the sharpness of each tile of a picture.

    Only green is used: it has most of the luminance and, behind a colour filter array, most of the
    detail.

    Parameters
    ----------
    detail : (H, W, 3) uint8 array
        sRGB; both sides at least `SMALLEST_SIDE_PX`.
    """
    energies = difference_energies(detail[..., 1])
    fine, coarse = (
        (energy[ACROSS] + energy[DOWN]) / 2 for energy in (energies.fine, energies.coarse)
    )
    noise = _noise_energy(fine, coarse)
    # The noise of a tile varies about that of the frame: what it may add by chance is subtracted.
    chance = noise * CHANCE_DEVIATIONS * math.sqrt(1 / energies.n_samples)
    clean_fine = np.maximum(fine - noise - chance, 0)
    clean_coarse = np.maximum(coarse - noise, 0)
    textured = (clean_coarse > TEXTURE_CODE_VALUES**2) & (clean_coarse > TEXTURE_OVER_NOISE * noise)
    ratio = np.sqrt(clean_fine / np.maximum(clean_coarse, MIN_ENERGY))
    # The ratio is 1/2 for a step and 1/4 for a ramp longer than the coarse span.
    lowest, highest = 1 / COARSE_RATIO, 1 / math.sqrt(COARSE_RATIO)
    sharpness = np.clip((ratio - lowest) / (highest - lowest), 0, 1)
    return SharpnessMap(sharpness, textured, energies, noise)


def _noise_energy(fine: Tiles, coarse: Tiles) -> float:
    """Estimate the energy of the noise in a difference; it is the same over any span."""
    white = (fine > WHITE_RATIO * coarse) & (coarse <= np.median(coarse))
    if white.any():
        return float(min(np.median(fine[white]), np.percentile(fine, QUIET_PERCENTILE)))
    # Every tile has texture: the noise is at most the fine energy that a long ramp leaves over.
    ramp = 1 / COARSE_RATIO**2
    return max(0.0, float(np.percentile((fine - ramp * coarse) / (1 - ramp), NOISE_PERCENTILE)))
