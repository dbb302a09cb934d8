"""The main colours among many, with their shares.

Weighted k-means in CIELAB over a histogram. Nothing in it depends on where in the
frame a colour lies or on chance: a mirrored picture has the same palette, and so has a second
run.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from skimage.color import deltaE_ciede2000

from auditor.colorimetry import Lab, Swatch, hex_from_lab

BIN_LAB = 4.0
"""Step of the histogram in L*, a*, b*; steps below it are lost in the shading of one thing."""

GRID_SIDE, GRID_MIDDLE = 128, 64
"""Points of the histogram along each axis, and which of them is 0: all of sRGB with room around."""

LEAST_POINT_SHARE = 2e-5
"""Share of the frame below which a point of the histogram is left out: half a cell."""

SAME_LAB = 2.0
"""Steps of L*, a*, b* within which cells are compared as one, where only speed asks for it."""

MAX_COLOURS = 6
"""A palette for planning a shoot has five or six colours; common practice."""

WEIGHT_EXPONENT = 0.5
"""Power of a bin's share that counts in clustering; below 1 so that an accent has a voice."""

SEED_SPREAD_LAB = 18.0
"""How far around a seed the next may not lie, CIELAB units."""

SEED_REACH_LAB, SEED_STEPS = 8.0, 3
"""How far around the heaviest point the middle is sought, CIELAB units, and in how many steps."""

MERGE_DIFFERENCE = 9.0
"""CIEDE2000 below which two clusters are shades of one colour."""

SMALLEST_SHARE = 0.004
"""Share of the part below which a colour joins its nearest neighbour: a highlight, a rim."""

MAX_ITERATIONS = 40
"""Bound of k-means, far above the ten or so that it takes."""


@dataclass(frozen=True, slots=True)
class LabCells:
    """Cells of a frame, and how each is shared out over the grid points of CIELAB around it.

    Shared out by its distance from them, a cell that changes a little changes the histogram a
    little; the mean colour stays exact. In bins with walls the rounding of another colour space
    would be enough to make another palette.

    Attributes
    ----------
    lab : (rows, columns, 3) float array
        CIELAB of the cells.
    points : (rows, columns, 8) int array
        Numbers of the grid points around each cell.
    parts : (rows, columns, 8) float array
        Of the cell, at each of them; they sum to 1.
    """

    lab: NDArray[np.floating]
    points: NDArray[np.intp]
    parts: NDArray[np.float64]

    @classmethod
    def of(cls, lab: NDArray[np.floating]) -> LabCells:
        """Share out cells over the grid of `BIN_LAB`."""
        place = lab.astype(np.float64) / BIN_LAB
        below = np.floor(place)
        above = place - below
        corner = below.astype(np.intp) + GRID_MIDDLE
        first = (corner[..., 0] * GRID_SIDE + corner[..., 1]) * GRID_SIDE + corner[..., 2]
        part = np.stack([1 - above, above])
        points, parts = [], []
        for up, right, back in np.ndindex(2, 2, 2):
            points.append(first + (up * GRID_SIDE + right) * GRID_SIDE + back)
            parts.append(part[up, ..., 0] * part[right, ..., 1] * part[back, ..., 2])
        return cls(lab, np.stack(points, axis=-1), np.stack(parts, axis=-1))

    def histogram(self, part: NDArray[np.bool_]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """CIELAB of the grid points that occur in a part of the frame, (N, 3), and shares, (N,).

        Shares are of the frame.
        """
        shares = np.bincount(self.points[part].ravel(), self.parts[part].ravel()) / part.size
        present = np.flatnonzero(shares > LEAST_POINT_SHARE)
        rest, b = np.divmod(present, GRID_SIDE)
        lightness, a = np.divmod(rest, GRID_SIDE)
        points = np.stack([lightness, a, b], axis=1) - GRID_MIDDLE
        kept = shares[present]
        total = float(np.count_nonzero(part)) / part.size
        return points * BIN_LAB, kept * (total / kept.sum() if kept.size else 1.0)

    def alike(self, colour: Lab, difference: float) -> NDArray[np.bool_]:
        """Cells of about a colour: at most `difference` CIEDE2000 from it."""
        codes, places = np.unique(
            np.rint(self.lab / SAME_LAB).astype(np.int64).reshape(-1, 3) @ [1 << 20, 1 << 10, 1],
            return_inverse=True,
        )
        one_of_each = np.zeros(codes.size, dtype=np.intp)
        one_of_each[places.ravel()] = np.arange(places.size)
        seen = self.lab.reshape(-1, 3)[one_of_each]
        near: NDArray[np.bool_] = deltaE_ciede2000(seen, np.array([colour])) <= difference
        return near[places.ravel()].reshape(self.lab.shape[:2])


def _squared_distances(
    points: NDArray[np.float64], centres: NDArray[np.float64]
) -> NDArray[np.float64]:
    squared = np.zeros((len(points), len(centres)))
    for channel in range(3):
        squared += (points[:, channel, np.newaxis] - centres[:, channel]) ** 2
    return squared


def _seeds(colours: NDArray[np.float64], weights: NDArray[np.float64]) -> NDArray[np.float64]:
    """Choose up to `MAX_COLOURS` places: heavy, and far from those chosen before.

    A seed is the middle of the weight around the heaviest point: where two points are about as
    heavy, it hardly matters which is the heavier.
    """
    left = weights.copy()
    chosen: list[NDArray[np.float64]] = []
    while len(chosen) < min(MAX_COLOURS, len(colours)):
        seed = colours[[int(np.argmax(left))]]
        for _ in range(SEED_STEPS):
            near = _squared_distances(colours, seed)[:, 0]
            around = left * np.exp(-near / (2 * SEED_REACH_LAB**2))
            seed = around[np.newaxis] @ colours / around.sum()
        chosen.append(seed[0])
        near = _squared_distances(colours, seed)[:, 0]
        left = left * (1 - np.exp(-near / (2 * SEED_SPREAD_LAB**2)))
    return np.array(chosen)


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
        sums = np.bincount(labels, weights, minlength=len(centres))
        kept = sums > 0
        for channel in range(3):
            weighted = np.bincount(labels, weights * colours[:, channel], minlength=len(centres))
            centres[kept, channel] = weighted[kept] / sums[kept]
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


def main_colours(cells: LabCells, part: NDArray[np.bool_]) -> tuple[Swatch, ...]:
    """Main colours of a part of the frame, largest share first.

    Parameters
    ----------
    cells : LabCells
    part : (rows, columns) bool array
        May be empty.

    Returns
    -------
    tuple of Swatch
        At most `MAX_COLOURS`, with shares of the frame; any two differ by more than
        `MERGE_DIFFERENCE` CIEDE2000 when their clusters are compared.
    """
    colours, of_frame = cells.histogram(part)
    if of_frame.size == 0:
        return ()
    size = float(of_frame.sum())
    shares = of_frame / size
    weights = shares**WEIGHT_EXPONENT
    labels = _cluster(colours, weights, _seeds(colours, weights))
    centres, sums = _summed(colours, shares, labels)
    _, labels = np.unique(labels, return_inverse=True)
    merged = _merge(centres, sums)[labels]
    # Once more from the merged colours: which shades were joined first then hardly matters.
    labels = _cluster(colours, weights, _summed(colours, shares, merged)[0])
    centres, sums = _summed(colours, of_frame, labels)
    swatches = [_swatch(lab, share) for lab, share in zip(centres, sums, strict=True)]
    return tuple(sorted(swatches, key=lambda swatch: (-swatch.share, swatch.hex)))


def _summed(
    colours: NDArray[np.float64], shares: NDArray[np.float64], labels: NDArray[np.intp]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean colour and share of each cluster that occurs."""
    _, labels = np.unique(labels, return_inverse=True)
    sums: NDArray[np.float64] = np.bincount(labels, shares).astype(np.float64)
    weighted = [np.bincount(labels, shares * colours[:, c]) / sums for c in range(3)]
    return np.stack(weighted, axis=1), sums


def _swatch(centre: NDArray[np.float64], share: float) -> Swatch:
    lightness, a, b = (float(v) for v in centre)
    lab: Lab = (lightness, a, b)
    return Swatch(hex_from_lab(lab), lab, float(share))
