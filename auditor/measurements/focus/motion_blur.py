"""Softness in one direction: what a moving subject or a moving camera leaves.

Fine and coarse differences are compared along four directions in the same tiles. Missed focus
softens all directions alike; movement softens the one it follows. Things have directions of their
own (the grain of a board, the weave of a cloth), so two signs must agree: the typical tile, seen
as it would be if its own contrast had no direction, and the sharpest edges in each direction.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.focus.differences import ACROSS, DOWN, FALLING, RISING, Tiles
from auditor.measurements.focus.sharpness import SharpnessMap

PAIRS = ((ACROSS, DOWN), (FALLING, RISING))
"""Directions at right angles and of equal span. The logarithm of their ratio goes with the cosine
of twice the angle from the first; the two pairs are 45 degrees apart and together a vector."""

MIN_TILES = 8
"""Tiles below which chance alone makes a direction."""

LEAST_CODE_VALUES = 4.5
"""Root mean square coarse difference in the weakest direction: along an edge nothing changes, and
nothing can be said of that direction."""

LEAST_OVER_NOISE = 4.0
"""The same, energy over that of noise."""

LEFT_OF_NOISE = 0.25
"""Part of the noise's energy that may be left or taken off too much; a fine difference below it
is not told from it."""

LEFT_OF_ROUNDING = 1 / 3
"""Energy that rounding to code values gives to a difference, twice 1/12, and as much again."""

LARGEST_LEANING = 0.8
"""Logarithm of the ratio of contrasts in a pair above which a tile is all edge in one direction."""

EDGE_SHARE = 0.6
"""Coarse energy over the tile's largest from which a direction crosses its edges."""

EDGE_PERCENTILE = 90.0
"""The sharpest edges, without those that are an accident."""

TYPICAL_GAIN = 2.0
"""The typical tile is softer than the sharpest edges, so movement changes it about half as much
(167 photographs of dishes, smeared by 4 and 8 px of 1024)."""

N_REWEIGHTINGS = 4
"""Steps of the robust line; it has settled by then."""


def smear(tiles: SharpnessMap, chosen: NDArray[np.bool_]) -> float:
    """How much softer the chosen tiles are in one direction than across it.

    Returns
    -------
    float
        Logarithm of the ratio of sharpness, 0 where no direction is softer or it cannot be told.
    """
    noise = tiles.noise
    coarse = np.maximum(tiles.energies.coarse - noise, 1e-3)
    fine = np.maximum(tiles.energies.fine - noise, LEFT_OF_NOISE * noise + LEFT_OF_ROUNDING)
    least = LEAST_CODE_VALUES**2 + LEAST_OVER_NOISE * noise
    told = chosen & tiles.textured & (coarse.min(axis=0) > least)
    if told.sum() < MIN_TILES:
        return 0.0
    ratio, contrast = np.sqrt(fine / coarse)[:, told], np.sqrt(coarse)[:, told]
    typical, edges = _typical(ratio, contrast), _of_edges(ratio, contrast)
    together = typical + edges
    length = float(np.hypot(*together))
    if length == 0:
        return 0.0
    along = together / length
    return max(0.0, min(float(edges @ along), TYPICAL_GAIN * float(typical @ along)))


def _typical(ratio: Tiles, contrast: Tiles) -> Tiles:
    """Vector of the typical tile, shortened by twice its standard error."""
    vector, errors = np.zeros(2), np.zeros(2)
    for axis, (one, other) in enumerate(PAIRS):
        leaning = np.log(contrast[one] / contrast[other])
        level = np.abs(leaning) < LARGEST_LEANING
        if level.sum() < MIN_TILES:
            return np.zeros(2)
        difference = np.log(ratio[one] / ratio[other])[level]
        vector[axis], errors[axis] = _without_leaning(leaning[level], difference)
    length = math.hypot(*vector)
    return vector * max(0.0, 1 - 2 * math.hypot(*errors) / length) if length > 0 else vector


def _without_leaning(leaning: Tiles, difference: Tiles) -> tuple[float, float]:
    """Difference of a tile that leans to neither side, by a robust line, and its error."""
    line = np.stack([np.ones_like(leaning), leaning], axis=1)
    weights = np.ones_like(leaning)
    for _ in range(N_REWEIGHTINGS):
        coefficients = np.linalg.lstsq(line * weights[:, None], difference * weights)[0]
        off = difference - line @ coefficients
        # The median deviation of a normal distribution is 1/1.48 of its standard deviation.
        deviation = 1.48 * float(np.median(np.abs(off))) + 1e-6
        weights = 1 / np.sqrt(1 + (off / (2 * deviation)) ** 2)
    return float(coefficients[0]), deviation / math.sqrt(leaning.size)


def _of_edges(ratio: Tiles, contrast: Tiles) -> Tiles:
    """Vector of the sharpest edges that are crossed in each direction."""
    crossed = contrast**2 > EDGE_SHARE * (contrast**2).max(axis=0)
    if crossed.sum(axis=1).min() < MIN_TILES:
        return np.zeros(2)
    sharpest = [
        np.percentile(of[at], EDGE_PERCENTILE) for of, at in zip(ratio, crossed, strict=True)
    ]
    return np.array([math.log(sharpest[one] / sharpest[other]) for one, other in PAIRS])
