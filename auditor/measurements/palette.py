"""The palette: the main colours of a picture with their shares.

Weighted k-means in CIELAB over a histogram of the picture. Nothing in it depends on where in the
frame a colour lies or on chance: a mirrored picture has the same palette, and so has a second
run.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from skimage.color import deltaE_ciede2000

from auditor.colorimetry import Lab, Swatch, cell_light, hex_from_lab, lab_from_linear

GRID_LONGEST_SIDE = 160
"""Cells along the longest side: fine enough for a berry, coarse enough for one colour of bread."""

BIN_LAB = 4.0
"""Width of a histogram bin in L*, a*, b*; steps below it are lost in the shading of one thing."""

MAX_COLOURS = 6
"""A palette for planning a shoot has five or six colours; common practice."""

WEIGHT_EXPONENT = 0.5
"""Power of a bin's share that counts in clustering; below 1 so that an accent has a voice."""

SEED_SPREAD_LAB = 18.0
"""How far around a seed the next may not lie, CIELAB units."""

MERGE_DIFFERENCE = 9.0
"""CIEDE2000 below which two clusters are shades of one colour."""

SMALLEST_SHARE = 0.004
"""Share of the frame below which a colour joins its nearest neighbour: a highlight, a rim."""

MAX_ITERATIONS = 40
"""Bound of k-means, far above the ten or so that it takes."""


def _histogram(lab: NDArray[np.floating]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean CIELAB of each occupied bin, (N, 3), and its share, (N,)."""
    flat = lab.reshape(-1, 3).astype(np.float64)
    codes = np.floor(flat / BIN_LAB).astype(np.int64) + 64
    keys = (codes[:, 0] * 256 + codes[:, 1]) * 256 + codes[:, 2]
    _, index, counts = np.unique(keys, return_inverse=True, return_counts=True)
    sums = np.stack([np.bincount(index, flat[:, c]) for c in range(3)], axis=1)
    return sums / counts[:, np.newaxis], counts / flat.shape[0]


def _squared_distances(
    points: NDArray[np.float64], centres: NDArray[np.float64]
) -> NDArray[np.float64]:
    difference = points[:, np.newaxis] - centres
    squared: NDArray[np.float64] = (difference**2).sum(axis=-1)
    return squared


def _seeds(colours: NDArray[np.float64], weights: NDArray[np.float64]) -> NDArray[np.float64]:
    """Choose up to `MAX_COLOURS` bins: heavy, and far from those chosen before."""
    left = weights.copy()
    chosen: list[int] = []
    while len(chosen) < min(MAX_COLOURS, len(colours)):
        best = int(np.argmax(left))
        chosen.append(best)
        near = _squared_distances(colours, colours[[best]])[:, 0]
        left = left * (1 - np.exp(-near / (2 * SEED_SPREAD_LAB**2)))
    return colours[chosen]


def _cluster(
    colours: NDArray[np.float64], weights: NDArray[np.float64], centres: NDArray[np.float64]
) -> NDArray[np.intp]:
    """Lloyd's k-means; the cluster of each bin."""
    labels = np.full(len(colours), -1)
    for _ in range(MAX_ITERATIONS):
        nearest = _squared_distances(colours, centres).argmin(axis=1)
        if np.array_equal(nearest, labels):
            break
        labels = nearest
        for k in np.unique(labels):
            members = labels == k
            centres[k] = np.average(colours[members], axis=0, weights=weights[members])
    return labels


def _merge(centres: NDArray[np.float64], shares: NDArray[np.float64]) -> NDArray[np.intp]:
    """For each cluster the one that it becomes part of, after joining shades and specks."""
    parent = np.arange(len(shares))
    centres, shares = centres.copy(), shares.copy()
    while (alive := np.unique(parent)).size > 1:
        difference = deltaE_ciede2000(centres[alive, np.newaxis], centres[np.newaxis, alive])
        np.fill_diagonal(difference, np.inf)
        smallest = int(np.argmin(shares[alive]))
        if shares[alive[smallest]] < SMALLEST_SHARE:
            first, second = smallest, int(np.argmin(difference[smallest]))
        else:
            first, second = (
                int(i) for i in np.unravel_index(np.argmin(difference), difference.shape)
            )
            if difference[first, second] > MERGE_DIFFERENCE:
                break
        a, b = alive[first], alive[second]
        total = shares[a] + shares[b]
        centres[b] = (centres[a] * shares[a] + centres[b] * shares[b]) / total
        shares[b] = total
        parent[parent == a] = b
    return parent


def measure_palette(pixels: NDArray[np.uint8]) -> tuple[Swatch, ...]:
    """Main colours of (H, W, 3) uint8 sRGB pixels, largest share first; shares sum to 1.

    Returns
    -------
    tuple of Swatch
        One to `MAX_COLOURS`; any two differ by more than `MERGE_DIFFERENCE` CIEDE2000 when their
        clusters are compared.
    """
    colours, shares = _histogram(lab_from_linear(cell_light(pixels, GRID_LONGEST_SIDE)))
    weights = shares**WEIGHT_EXPONENT
    labels = _cluster(colours, weights, _seeds(colours, weights))
    _, labels = np.unique(labels, return_inverse=True)
    sums: NDArray[np.float64] = np.bincount(labels, shares).astype(np.float64)
    centres = np.stack(
        [np.bincount(labels, shares * colours[:, c]) / sums for c in range(3)], axis=1
    )
    parent = _merge(centres, sums)[labels]
    swatches = [_swatch(colours[parent == k], shares[parent == k]) for k in np.unique(parent)]
    return tuple(sorted(swatches, key=lambda swatch: (-swatch.share, swatch.hex)))


def _swatch(colours: NDArray[np.float64], shares: NDArray[np.float64]) -> Swatch:
    lightness, a, b = (float(v) for v in np.average(colours, axis=0, weights=shares))
    lab: Lab = (lightness, a, b)
    return Swatch(hex_from_lab(lab), lab, float(shares.sum()))
