"""The main colours among many, with their shares.

Weighted k-means in CIELAB over a smooth histogram, with memberships instead of walls: each point
of the histogram counts to the colours about it by its distance from them, as in a mixture of
Gaussians of one width. A picture that changes a little, by the rounding of another colour space or
by compression, so changes its palette a little. Nothing depends on where in the frame a colour
lies or on chance: a mirrored picture has the same palette, and so has a second run.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter
from skimage.color import deltaE_ciede2000

from auditor.colorimetry import Lab, Swatch, hex_from_lab

BIN_LAB = 5.0
"""Step of the histogram in L*, a*, b*; steps below it are lost in the shading of one thing."""

GRID_SHAPE, GRID_ZERO = (24, 64, 64), (1, 32, 32)
"""Points of the histogram along L*, a*, b*, and which of them is 0: from -5 to 110 and from -160 to
155, all of sRGB with room around."""

LEAST_POINT_SHARE = 5e-6
"""Share of the part below which a point of the histogram is left out; only for speed."""

DENSITY_BLUR_BINS = 1.2
"""Standard deviation of the blur after which the histogram tells how dense colours lie."""

SAME_LAB = 2.0
"""Steps of L*, a*, b* within which cells are compared as one, where only speed asks for it."""

MAX_COLOURS = 6
"""A palette for planning a shoot has five or six colours; common practice."""

DENSITY_EXPONENT = 0.75
"""Power of the density that counts in clustering; below 1 so that an accent has a voice."""

SEED_SPREAD_LAB = 18.0
"""How far around a seed the next may not lie, CIELAB units."""

SEED_REACH_LAB, SEED_STEPS = 8.0, 10
"""How far around the heaviest point the middle is sought, CIELAB units, and in how many steps."""

LEAST_LEFT = 1e-6
"""Part of the weight left over by the seeds below which no further one is sought."""

MEMBERSHIP_LAB = 4.0
"""Standard deviation, CIELAB units, of the Gaussian by which a point counts to the colours about
it. At 6 neighbouring colours run together, at 3 the palette is less steady (50 photographs)."""

MEMBERSHIP_STEPS, MEMBERSHIP_STRIDE = 20, 1.7
"""Rounds of clustering, and how far a round goes of the way to the mean, times; below 2 it cannot
run away, and half as many rounds are enough. A fixed number, for where to stop would be a jump
again; with fewer what is not yet settled differs between two savings of a picture."""

MERGE_DIFFERENCE = 9.0
"""CIEDE2000 below which two clusters are shades of one colour."""

SMALLEST_SHARE = 0.004
"""Share of the part below which a colour joins its nearest neighbour: a highlight, a rim."""


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
    points : (8, rows, columns) int array
        Numbers of the grid points around each cell.
    parts : (8, rows, columns) float array
        Of the cell, at each of them; they sum to 1.
    """

    lab: NDArray[np.floating]
    points: NDArray[np.intp]
    parts: NDArray[np.float64]

    @classmethod
    def of(cls, lab: NDArray[np.floating]) -> LabCells:
        """Share out cells over the grid of `BIN_LAB`."""
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
        """The grid points that occur in a part of the frame."""
        inside = np.flatnonzero(part)
        points, parts = (of.reshape(8, -1).take(inside, axis=1) for of in (self.points, self.parts))
        counts = np.bincount(points.ravel(), parts.ravel())
        shares: NDArray[np.float64] = counts / max(inside.size, 1)
        present = np.flatnonzero(shares > LEAST_POINT_SHARE)
        places = np.stack(np.unravel_index(present, GRID_SHAPE), axis=1)
        shares = shares[present] / shares[present].sum()
        colours: NDArray[np.float64] = (places - GRID_ZERO).astype(np.float64) * BIN_LAB
        return Histogram(colours, shares, _density(places, shares))

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


@dataclass(frozen=True, slots=True)
class Histogram:
    """CIELAB of grid points (N, 3), their shares, which sum to 1, and the density about them."""

    colours: NDArray[np.float64]
    shares: NDArray[np.float64]
    density: NDArray[np.float64]

    @property
    def weights(self) -> NDArray[np.float64]:
        """What each point counts in clustering."""
        return self.shares * self.density ** (DENSITY_EXPONENT - 1)


def _density(places: NDArray[np.intp], shares: NDArray[np.float64]) -> NDArray[np.float64]:
    """The histogram, blurred, at its own points."""
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
    """1 at a centre, falling to 0 over a reach."""
    near: NDArray[np.float64] = np.exp(((colours - centre) ** 2) @ np.full(3, -0.5 / reach**2))
    return near


def _seeds(seen: Histogram) -> NDArray[np.float64]:
    """Choose up to `MAX_COLOURS` places: where colours lie dense, far from those chosen before.

    The density is smooth, so that no single point decides, and a seed is the middle of the weight
    around the densest place: where two are about as dense, it hardly matters which is denser.
    """
    dense, left = seen.density**DENSITY_EXPONENT, seen.weights
    least = LEAST_LEFT * left.sum()
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
    """Part of each point that counts to each centre, (centres, points); they sum to 1."""
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
    """Mean colours and shares of the clusters that grow from `centres`, without shades and specks.

    K-means with memberships; the weights lead it, the shares tell what it has found.
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
    """Colours and shares after joining shades and specks to what they are nearest to."""
    while shares.size > 1:
        difference = deltaE_ciede2000(centres[:, np.newaxis], centres[np.newaxis])
        np.fill_diagonal(difference, np.inf)
        first = int(np.argmin(shares))
        if shares[first] >= SMALLEST_SHARE:
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
    # Once more from the merged colours: which shades were joined first then hardly matters.
    centres, shares = _clusters(seen, centres)
    of_frame = float(part.mean())
    swatches = [_swatch(lab, share * of_frame) for lab, share in zip(centres, shares, strict=True)]
    return tuple(sorted(swatches, key=lambda swatch: (-swatch.share, swatch.hex)))


def _swatch(centre: NDArray[np.float64], share: float) -> Swatch:
    lightness, a, b = (float(v) for v in centre)
    lab: Lab = (lightness, a, b)
    return Swatch(hex_from_lab(lab), lab, float(share))
