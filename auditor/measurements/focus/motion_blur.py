"""Motion blur: softness in one direction, caused by a moving subject or a moving camera.

Fine and coarse differences are compared along four directions in the same tiles. Missed focus
softens all directions equally; motion softens the direction of movement. Textures have directions
of their own (the grain of a board, the weave of a cloth), so two indicators must agree: the typical
tile, corrected for the direction of its contrast, and the sharpest edges in each direction.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.focus.differences import ACROSS, DOWN, FALLING, RISING, Tiles
from auditor.measurements.focus.sharpness import SharpnessMap

PAIRS = ((ACROSS, DOWN), (FALLING, RISING))
"""Perpendicular directions of equal span. The logarithm of the ratio of their sharpness varies with
the cosine of twice the angle from the first. The pairs are 45 degrees apart and form a vector."""

MIN_TILES = 8
"""Tiles below which a direction can arise by chance."""

MIN_CODE_VALUES = 4.5
"""Least root mean square of the coarse differences in the weakest direction, 8-bit code values:
along an edge nothing changes, and the sharpness in that direction is unknown."""

MIN_OVER_NOISE = 4.0
"""The same as energy relative to that of the noise."""

NOISE_UNCERTAINTY = 0.25
"""Uncertainty of the energy of the noise, relative to it; a fine difference below it is noise."""

ROUNDING_ENERGY = 1 / 3
"""Floor of a fine difference: twice the energy that rounding to code values gives to a difference,
which is twice 1/12."""

MIN_COARSE_ENERGY = 1e-3
"""Floor of a coarse difference, to avoid a division by zero."""

MAX_ANISOTROPY = 0.8
"""Logarithm of the ratio of contrasts in a pair above which a tile has edges in one direction
only."""

EDGE_SHARE = 0.6
"""Coarse energy relative to the largest of the tile from which a direction crosses its edges."""

EDGE_PERCENTILE = 90.0
"""The sharpest edges, without accidental outliers."""

TYPICAL_GAIN = 2.0
"""Factor for the typical tile. It is softer than the sharpest edges, so motion changes it about
half as much (167 photographs of dishes, simulated motion of 4 and 8 px of 1024)."""

N_REWEIGHTINGS = 4
"""Iterations of the robust regression; it has converged by then."""

SIGMA_PER_MAD = 1.48
"""Standard deviation of a normal distribution relative to its median absolute deviation."""

MIN_DEVIATION = 1e-6
"""Floor of the standard deviation, to avoid a division by zero."""


def motion_blur(tiles: SharpnessMap, chosen: NDArray[np.bool_]) -> float:
    """Measure how much softer tiles are in one direction than across it.

    Parameters
    ----------
    tiles : SharpnessMap
    chosen : (rows, columns) bool array
        Tiles to use.

    Returns
    -------
    float
        Logarithm of the ratio of sharpness across and along the direction; 0 where no direction is
        softer, or where it cannot be measured.
    """
    noise = tiles.noise
    coarse = np.maximum(tiles.energies.coarse - noise, MIN_COARSE_ENERGY)
    fine = np.maximum(tiles.energies.fine - noise, NOISE_UNCERTAINTY * noise + ROUNDING_ENERGY)
    least = MIN_CODE_VALUES**2 + MIN_OVER_NOISE * noise
    usable = chosen & tiles.textured & (coarse.min(axis=0) > least)
    if usable.sum() < MIN_TILES:
        return 0.0
    ratio, contrast = np.sqrt(fine / coarse)[:, usable], np.sqrt(coarse)[:, usable]
    typical, edges = _typical(ratio, contrast), _of_edges(ratio, contrast)
    together = typical + edges
    length = float(np.hypot(*together))
    if length == 0:
        return 0.0
    along = together / length
    return max(0.0, min(float(edges @ along), TYPICAL_GAIN * float(typical @ along)))


def _typical(ratio: Tiles, contrast: Tiles) -> Tiles:
    """Blur vector (2,) of the typical tile, shortened by twice its standard error."""
    vector, errors = np.zeros(2), np.zeros(2)
    for axis, (one, other) in enumerate(PAIRS):
        anisotropy = np.log(contrast[one] / contrast[other])
        kept = np.abs(anisotropy) < MAX_ANISOTROPY
        if kept.sum() < MIN_TILES:
            return np.zeros(2)
        difference = np.log(ratio[one] / ratio[other])[kept]
        vector[axis], errors[axis] = _at_isotropic_contrast(anisotropy[kept], difference)
    length = math.hypot(*vector)
    return vector * max(0.0, 1 - 2 * math.hypot(*errors) / length) if length > 0 else vector


def _at_isotropic_contrast(anisotropy: Tiles, difference: Tiles) -> tuple[float, float]:
    """Difference of a tile with isotropic contrast, by robust regression, and its error."""
    line = np.stack([np.ones_like(anisotropy), anisotropy], axis=1)
    weights = np.ones_like(anisotropy)
    for _ in range(N_REWEIGHTINGS):
        coefficients = np.linalg.lstsq(line * weights[:, None], difference * weights)[0]
        residual = difference - line @ coefficients
        deviation = SIGMA_PER_MAD * float(np.median(np.abs(residual))) + MIN_DEVIATION
        weights = 1 / np.sqrt(1 + (residual / (2 * deviation)) ** 2)
    return float(coefficients[0]), deviation / math.sqrt(anisotropy.size)


def _of_edges(ratio: Tiles, contrast: Tiles) -> Tiles:
    """Blur vector (2,) of the sharpest edges crossed in each direction."""
    crossed = contrast**2 > EDGE_SHARE * (contrast**2).max(axis=0)
    if crossed.sum(axis=1).min() < MIN_TILES:
        return np.zeros(2)
    sharpest = [
        np.percentile(of[at], EDGE_PERCENTILE) for of, at in zip(ratio, crossed, strict=True)
    ]
    return np.array([math.log(sharpest[one] / sharpest[other]) for one, other in PAIRS])
