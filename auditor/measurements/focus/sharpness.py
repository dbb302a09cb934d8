"""Sharpness tile by tile.

Sharpness is how much of the change over a short stretch already happens over a quarter of it: the
ratio of the energies of fine and coarse differences, the idea of the re-blur measure of Crete and
others (The blur effect: perception and estimation with a new no-reference perceptual blur metric,
SPIE 6492, 2007) without the need to blur. Contrast cancels in the ratio; noise adds equally to
both and is taken off. Tiles without texture do not count.
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
"""Below it a tile would have too few differences to tell anything."""

TEXTURE_CODE_VALUES = 6.0
"""Root mean square coarse difference, 8-bit code values, above which a tile has texture; about
the contrast at which a texture is seen at all (common practice, no source)."""

TEXTURE_OVER_NOISE = 5.0
"""Energy of the coarse differences over that of noise alone from which a tile has texture."""

WHITE_RATIO = 0.5
"""Energy of fine over coarse differences above which a tile shows noise: white noise has 1, while
the sharpest edge has 1/4."""

NOISE_PERCENTILE = 5.0
"""Where every tile has texture, the smoothest tiles show the noise."""

QUIET_PERCENTILE = 10.0
"""Noise lies on every tile, so hardly one in ten has less energy; a fine weave looks like noise
where it lies and nowhere else."""

CHANCE_DEVIATIONS = 2.0
"""Standard deviations of a tile's noise energy that are taken off beside its mean: of many tiles
the sharpest are looked at, and chance must not make one."""


@dataclass(frozen=True, slots=True)
class SharpnessMap:
    """Sharpness tile by tile.

    Attributes
    ----------
    sharpness : (rows, columns) float array
        In [0, 1], a long ramp to a step; meaningless where there is no texture.
    textured : (rows, columns) bool array
    energies : DifferenceEnergies
    noise : float
        Energy that noise alone gives to a difference in one direction, squared code values.
    """

    sharpness: Tiles
    textured: NDArray[np.bool_]
    energies: DifferenceEnergies
    noise: float


def sharpness_map(detail: NDArray[np.uint8]) -> SharpnessMap:
    """Sharpness of (H, W, 3) uint8 sRGB pixels, tile by tile.

    Both sides are at least `SMALLEST_SIDE_PX`. Green alone is read: it holds most of the
    luminance and, behind a colour filter array, most of the detail.
    """
    energies = difference_energies(detail[..., 1])
    fine, coarse = (
        (energy[ACROSS] + energy[DOWN]) / 2 for energy in (energies.fine, energies.coarse)
    )
    noise = _noise_energy(fine, coarse)
    # The noise of one tile strays from the frame's: what it may add by chance is taken off, too.
    chance = noise * CHANCE_DEVIATIONS * math.sqrt(1 / energies.n_samples)
    clean_fine = np.maximum(fine - noise - chance, 0)
    clean_coarse = np.maximum(coarse - noise, 0)
    textured = (clean_coarse > TEXTURE_CODE_VALUES**2) & (clean_coarse > TEXTURE_OVER_NOISE * noise)
    ratio = np.sqrt(clean_fine / np.maximum(clean_coarse, 1e-9))
    # A step has 1/2, a ramp longer than the coarse span 1/4.
    lowest, highest = 1 / COARSE_RATIO, 1 / math.sqrt(COARSE_RATIO)
    sharpness = np.clip((ratio - lowest) / (highest - lowest), 0, 1)
    return SharpnessMap(sharpness, textured, energies, noise)


def _noise_energy(fine: Tiles, coarse: Tiles) -> float:
    """Energy that noise alone gives to a difference over any span."""
    white = (fine > WHITE_RATIO * coarse) & (coarse <= np.median(coarse))
    if white.any():
        return float(min(np.median(fine[white]), np.percentile(fine, QUIET_PERCENTILE)))
    # Every tile has texture: noise is at most what a long ramp would leave of the fine energy.
    ramp = 1 / COARSE_RATIO**2
    return max(0.0, float(np.percentile((fine - ramp * coarse) / (1 - ramp), NOISE_PERCENTILE)))
