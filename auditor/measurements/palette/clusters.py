"""The main colours among many, with their shares.

Weighted soft k-means in CIELAB over a smooth histogram: each histogram point belongs to the nearby
colours in proportion to its distance from them, as in a mixture of Gaussians of one width. A small
change of the picture, by compression or by rounding in another colour space, therefore changes the
palette only a little. The result depends neither on positions in the frame nor on chance: a
mirrored picture and a second run give the same palette.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from auditor.colorimetry import Lab, Swatch, ciede2000, hex_from_lab

BIN_LAB = 5.0
"""Step of the histogram in L*, a*, b*; the shading of one thing varies by more than this."""

GRID_SHAPE, GRID_ZERO = (24, 64, 64), (1, 32, 32)
"""Points of the histogram along L*, a*, b*, and the index of 0: from -5 to 110 and from -160 to
155, which covers all of sRGB with a margin."""

MIN_POINT_SHARE = 5e-6
"""Share of the part below which a histogram point is left out; only for speed."""

DENSITY_BLUR_BINS = 1.2
"""Standard deviation of the blur that turns the histogram into a density."""

SAME_LAB = 2.0
"""Step of L*, a*, b* to which cells are rounded before they are compared; only for speed."""

MAX_COLOURS = 6
"""A palette for planning a shoot has five or six colours; common practice."""

DENSITY_EXPONENT = 0.75
"""Power of the density used as weight in clustering; below 1 so that small accents count."""

SEED_SPREAD_LAB = 18.0
"""Radius around a seed in which no further seed is placed, CIELAB units."""

SEED_REACH_LAB, SEED_STEPS = 8.0, 10
"""Radius of the mean shift from the densest point to a seed, CIELAB units, and its iterations."""

MIN_REMAINING = 1e-6
"""Share of the weight not covered by seeds below which no further seed is placed."""

MEMBERSHIP_LAB = 4.0
"""Standard deviation, CIELAB units, of the Gaussian that gives a point's membership in the colours
around it. At 6 neighbouring colours merge, at 3 the palette is less stable (50 photographs)."""

MEMBERSHIP_STEPS, MEMBERSHIP_STRIDE = 20, 1.7
"""Iterations of clustering, and the step of each as a multiple of the way to the mean: below 2 it
converges, and half as many iterations are enough. The number is fixed because a stopping rule
would bring jumps back; with fewer, two saved versions of a picture differ where it has not yet
converged."""

MERGE_DIFFERENCE = 9.0
"""CIEDE2000 below which two clusters are shades of one colour."""

MIN_COLOUR_SHARE = 0.004
"""Share of the part below which a colour joins its nearest neighbour: a highlight, a rim."""


@dataclass(frozen=True, slots=True)
class LabCells:
    """Cells of a frame, each distributed over the CIELAB grid points around it.

    With trilinear weights a small change of a cell changes the histogram only a little, and the
    mean colour stays exact. With hard bins the rounding of another colour space would be enough
    to change the palette.

    Attributes
    ----------
    lab : (rows, columns, 3) float array
        CIELAB of the cells.
    points : (8, rows, columns) int array
        Indices of the grid points around each cell.
    parts : (8, rows, columns) float array
        Share of the cell at each of them; they sum to 1.
    """

    lab: NDArray[np.floating]
    points: NDArray[np.intp]
    parts: NDArray[np.float64]

    @classmethod
    def of(cls, lab: NDArray[np.floating]) -> LabCells:
        """Distribute cells over the grid of `BIN_LAB`."""
        place = np.moveaxis(lab, -1, 0).astype(np.float64) / BIN_LAB
        below = np.floor(place)
        above = place - below
        lightness, a, b = (below.astype(np.intp).T + GRID_ZERO).T
        first = (lightness * GRID_SHAPE[1] + a) * GRID_SHAPE[2] + b
        part = np.stack([1 - above, above])
        points = np.empty((8, *first.shape), dtype=np.intp)
        parts = np.empty(points.shape)
        for nth, (up, right, back) in enumerate(np.ndindex(2, 2, 2)):
            points[nth] = first + ((up * GRID_SHAPE[1] + right) * GRID_SHAPE[2] + back)
            parts[nth] = part[up, 0] * part[right, 1] * part[back, 2]
        return cls(lab, points, parts)

    def histogram(self, part: NDArray[np.bool_]) -> Histogram:
        """Histogram of a part of the frame."""
        n_inside = int(np.count_nonzero(part))
        points, parts = (of.reshape(8, -1) for of in (self.points, self.parts))
        if n_inside < part.size:
            inside = np.flatnonzero(part)
            points, parts = points.take(inside, axis=1), parts.take(inside, axis=1)
        counts = np.bincount(points.ravel(), parts.ravel())
        shares: NDArray[np.float64] = counts / max(n_inside, 1)
        present = np.flatnonzero(shares > MIN_POINT_SHARE)
        places = np.stack(np.unravel_index(present, GRID_SHAPE), axis=1)
        shares = shares[present] / shares[present].sum()
        colours: NDArray[np.float64] = (places - GRID_ZERO).astype(np.float64) * BIN_LAB
        return Histogram(colours, shares, _density(places, shares))

    def alike(self, colour: Lab, difference: float) -> NDArray[np.bool_]:
        """Mask of the cells that differ from a colour by at most `difference` CIEDE2000."""
        steps = np.rint(self.lab / SAME_LAB).astype(np.intp).reshape(-1, 3).T
        steps -= steps.min(axis=1, keepdims=True)
        sides = steps.max(axis=1) + 1
        codes = (steps[0] * sides[1] + steps[1]) * sides[2] + steps[2]
        # One cell stands for all of its code: the last one, which overwrites the others.
        last = np.zeros(int(np.prod(sides)), dtype=np.intp)
        last[codes] = np.arange(1, codes.size + 1)
        present = np.flatnonzero(last)
        seen = self.lab.reshape(-1, 3)[last[present] - 1]
        near: NDArray[np.bool_] = np.zeros(last.size, dtype=np.bool_)
        near[present] = ciede2000(seen, np.array([colour])) <= difference
        return np.asarray(near[codes].reshape(self.lab.shape[:2]))


@dataclass(frozen=True, slots=True)
class Histogram:
    """CIELAB of grid points (N, 3), their shares, which sum to 1, and the density around them."""

    colours: NDArray[np.float64]
    shares: NDArray[np.float64]
    density: NDArray[np.float64]

    @property
    def weights(self) -> NDArray[np.float64]:
        """Weight of each point in clustering."""
        return self.shares * self.density ** (DENSITY_EXPONENT - 1)


def _density(places: NDArray[np.intp], shares: NDArray[np.float64]) -> NDArray[np.float64]:
    """The blurred histogram at its own points."""
    if not shares.size:
        return shares
    within = tuple((places - places.min(axis=0)).T)
    box = np.zeros(np.ptp(places, axis=0) + 1)
    box[within] = shares
    density: NDArray[np.float64] = gaussian_filter(box, DENSITY_BLUR_BINS, mode="constant")[within]
    return density


def _nearness(
    colours: NDArray[np.float64], centre: NDArray[np.float64], reach: float
) -> NDArray[np.float64]:
    """Gaussian weight: 1 at a centre, with `reach` as its standard deviation."""
    away = colours - centre
    near: NDArray[np.float64] = np.einsum("ij,ij->i", away, away)
    near *= -0.5 / reach**2
    return np.exp(near, out=near)


def _seeds(seen: Histogram) -> NDArray[np.float64]:
    """Choose up to `MAX_COLOURS` seeds where the density is high, far from earlier seeds.

    The density is smooth, so no single point decides. A seed is the mean around the densest point,
    so between two points of about equal density it hardly matters which is denser.
    """
    dense, left = seen.density**DENSITY_EXPONENT, seen.weights
    least = MIN_REMAINING * left.sum()
    chosen: list[NDArray[np.float64]] = []
    while len(chosen) < MAX_COLOURS and left.sum() > least:
        seed = seen.colours[int(np.argmax(dense))]
        for _ in range(SEED_STEPS):
            around = left * _nearness(seen.colours, seed, SEED_REACH_LAB)
            seed = around @ seen.colours / around.sum()
        chosen.append(seed)
        free = 1 - _nearness(seen.colours, seed, SEED_SPREAD_LAB)
        dense, left = dense * free, left * free
    return np.array(chosen)


def _memberships(colours: NDArray[np.float32], centres: NDArray[np.float64]) -> NDArray[np.float32]:
    """Membership of each point in each centre, (centres, points); sums to 1 for each point."""
    # The square of the colour is the same for every centre and cancels.
    nearness = 2 * centres.astype(np.float32) @ colours.T
    nearness -= (centres**2).sum(axis=1, dtype=np.float32)[:, np.newaxis]
    nearness -= nearness.max(axis=0)
    parts: NDArray[np.float32] = np.exp(nearness / np.float32(2 * MEMBERSHIP_LAB**2))
    parts /= parts.sum(axis=0)
    return parts


def _clusters(
    seen: Histogram, centres: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean colours and shares of the clusters that start at `centres`, shades and specks merged.

    Soft k-means; the weights move the centres, the shares give the result.
    """
    weights, colours = seen.weights, seen.colours.astype(np.float32)
    weighted = weights[:, np.newaxis] * np.column_stack([np.ones_like(weights), seen.colours])
    for _ in range(MEMBERSHIP_STEPS):
        sums = _memberships(colours, centres) @ weighted
        kept = sums[:, 0] > 0
        means = sums[kept, 1:] / sums[kept, :1]
        centres = centres[kept] + MEMBERSHIP_STRIDE * (means - centres[kept])
    counted = _memberships(colours, centres) * seen.shares
    sums = counted.sum(axis=1)
    return _merged(counted @ seen.colours / sums[:, np.newaxis], sums / sums.sum())


def _merged(
    centres: NDArray[np.float64], shares: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Colours and shares after merging shades and specks into their nearest colour."""
    while shares.size > 1:
        difference = ciede2000(centres[:, np.newaxis], centres[np.newaxis])
        np.fill_diagonal(difference, np.inf)
        first = int(np.argmin(shares))
        if shares[first] >= MIN_COLOUR_SHARE:
            first = int(np.argmin(difference.min(axis=1)))
            if difference[first].min() > MERGE_DIFFERENCE:
                break
        second = int(np.argmin(difference[first]))
        pair, others = [first, second], np.delete(np.arange(shares.size), [first, second])
        joined = shares[pair] @ centres[pair] / shares[pair].sum()
        centres = np.vstack([centres[others], joined])
        shares = np.append(shares[others], shares[pair].sum())
    return centres, shares


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
        `MERGE_DIFFERENCE` CIEDE2000.
    """
    if not part.any():
        return ()
    seen = cells.histogram(part)
    centres, _ = _clusters(seen, _seeds(seen))
    # A second run from the merged colours makes the order of merging almost irrelevant.
    centres, shares = _clusters(seen, centres)
    of_frame = float(part.mean())
    swatches = [_swatch(lab, share * of_frame) for lab, share in zip(centres, shares, strict=True)]
    return tuple(sorted(swatches, key=lambda swatch: (-swatch.share, swatch.hex)))


def _swatch(centre: NDArray[np.float64], share: float) -> Swatch:
    lightness, a, b = (float(v) for v in centre)
    lab: Lab = (lightness, a, b)
    return Swatch(hex_from_lab(lab), lab, float(share))
