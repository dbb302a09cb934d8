"""Keypoints: places and sizes of the bright and dark spots of a picture.

Extrema of the difference of Gaussians in place and scale (Lowe 2004, Distinctive image features
from scale-invariant keypoints). A crop shows the same spots, larger by the same factor.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

Floats = NDArray[np.float32]

FIRST_SIGMA_CELLS = 1.6
"""Blur of the first level (Lowe 2004)."""

BLUR_OF_CELLS = 0.5
"""Blur that the cells have already: about that of averaging over their own area."""

LEVELS_PER_OCTAVE = 3
"""Levels from one blur to twice the blur (Lowe 2004)."""

MOST_OCTAVES = 4
"""From the fourth on a spot fills a quarter of the frame, and few crops hold it whole."""

SHORTEST_SIDE_CELLS = 12
"""Below this an octave has hardly any place that is not at its edge."""

LEAST_CONTRAST = 0.15
"""CIELAB lightness. Less is the noise of compression; chosen on photographs of plain scenes, which
have no other spots."""

LARGEST_CURVATURE_RATIO = 10.0
"""Of the two curvatures of a spot (Lowe 2004). Beyond it is an edge, along which it could slide."""

FURTHEST_STEP = 1.0
"""Cells and levels between an extremum on the grid and its interpolated place. Beyond, the
parabola does not fit."""

_BLUR_REACH = 3.5  # standard deviations at which the kernel is cut off
_FLATTEST = 1e-12  # determinant; only keeps the division from 0


@dataclass(frozen=True, slots=True)
class Spots:
    """N keypoints of one picture.

    Attributes
    ----------
    octave, level : (N,) int array
        Where in the scale space they were found.
    row, column : (N,) float array
        In cells of the octave; the centre of the first cell is 0.
    sigma : (N,) float array
        Blur at which the spot stands out most, in cells of the octave.
    contrast : (N,) float array
        In CIELAB lightness; positive for dark spots.
    """

    octave: NDArray[np.intp]
    level: NDArray[np.intp]
    row: NDArray[np.float64]
    column: NDArray[np.float64]
    sigma: NDArray[np.float64]
    contrast: NDArray[np.float64]

    def strongest(self, n: int) -> Spots:
        """The `n` of the highest contrast, the strongest first."""
        kept = np.argsort(-np.abs(self.contrast), kind="stable")[:n]
        return Spots(*(getattr(self, name)[kept] for name in self.__slots__))


def blurred_octaves(lightness: Floats) -> list[Floats]:
    """Blur a picture in steps, at half the size after each doubling of the blur.

    Parameters
    ----------
    lightness : (H, W) float array

    Returns
    -------
    list of (levels, h, w) float array
        One for each octave; empty where the picture is too small.
    """
    octaves: list[Floats] = []
    start_sigma = float(np.sqrt(FIRST_SIGMA_CELLS**2 - BLUR_OF_CELLS**2))
    base = _blurred(lightness, start_sigma)
    step = 2.0 ** (1 / LEVELS_PER_OCTAVE)
    while min(base.shape) >= SHORTEST_SIDE_CELLS and len(octaves) < MOST_OCTAVES:
        levels = [base]
        for place in range(LEVELS_PER_OCTAVE + 2):
            sigma = FIRST_SIGMA_CELLS * step**place
            levels.append(_blurred(levels[-1], sigma * float(np.sqrt(step**2 - 1))))
        octaves.append(np.stack(levels))
        base = levels[LEVELS_PER_OCTAVE][::2, ::2]
    return octaves


def _blurred(values: Floats, sigma: float) -> Floats:
    blurred: Floats = gaussian_filter(values, sigma, mode="nearest", truncate=_BLUR_REACH)
    return blurred


def find_spots(octaves: list[Floats]) -> Spots:
    """Find the keypoints of a picture in its blurred octaves."""
    found = [_spots_of_octave(levels, octave) for octave, levels in enumerate(octaves)]
    if not found:
        none, nowhere = np.zeros(0), np.zeros(0, dtype=np.intp)
        return Spots(nowhere, nowhere, none, none, none, none)
    return Spots(
        *(np.concatenate([getattr(spots, name) for spots in found]) for name in Spots.__slots__)
    )


def _spots_of_octave(levels: Floats, octave: int) -> Spots:
    differences = np.diff(levels, axis=0)
    level, row, column, around = _extrema(differences)
    gradient, hessian = _derivatives(around)
    steps = _steps_to_extremum(gradient, hessian)
    contrast = around[1, 1, 1] + 0.5 * np.einsum("ij,ij->i", gradient, steps)
    along = hessian[:, 1, 1] + hessian[:, 2, 2]
    both = hessian[:, 1, 1] * hessian[:, 2, 2] - hessian[:, 1, 2] ** 2
    ratio = LARGEST_CURVATURE_RATIO
    kept = (
        (np.abs(steps) <= FURTHEST_STEP).all(axis=1)
        & (np.abs(contrast) >= LEAST_CONTRAST)
        & (along**2 * ratio < (ratio + 1) ** 2 * both)
    )
    level, row, column, steps = level[kept], row[kept], column[kept], steps[kept]
    return Spots(
        np.full(len(level), octave),
        level,
        row + steps[:, 1],
        column + steps[:, 2],
        FIRST_SIGMA_CELLS * 2.0 ** ((level + steps[:, 0]) / LEVELS_PER_OCTAVE),
        contrast[kept],
    )


def _extrema(
    differences: Floats,
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]:
    """Level, row and column of N cells above or below all 26 neighbours, and what is around them.

    Returns
    -------
    tuple of three (N,) int arrays and a (3, 3, 3, N) float array
    """
    inner = differences[1:-1, 1:-1, 1:-1]
    beside = [
        differences[1:-1, rows, columns]
        for rows, columns in (
            (slice(None, -2), slice(1, -1)),
            (slice(2, None), slice(1, -1)),
            (slice(1, -1), slice(None, -2)),
            (slice(1, -1), slice(2, None)),
        )
    ]
    # Few cells pass these four, so that the other neighbours are looked at for few.
    highest, lowest = inner > LEAST_CONTRAST / 2, inner < -LEAST_CONTRAST / 2
    for neighbour in beside:
        highest &= inner > neighbour
        lowest &= inner < neighbour
    level, row, column = np.nonzero(highest | lowest)
    around = np.empty((3, 3, 3, len(level)))
    for i, j, k in product(range(3), repeat=3):
        around[i, j, k] = differences[level + i, row + j, column + k]
    upright = around * np.sign(around[1, 1, 1])
    kept = np.count_nonzero(upright >= upright[1, 1, 1], axis=(0, 1, 2)) == 1
    return level[kept] + 1, row[kept] + 1, column[kept] + 1, around[..., kept]


def _derivatives(around: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """First and second derivatives by level, row and column in the middle of N neighbourhoods."""
    n = around.shape[-1]
    gradient, hessian = np.empty((n, 3)), np.empty((n, 3, 3))
    for first in range(3):
        line = np.moveaxis(around, first, 0)[:, 1, 1]
        gradient[:, first] = (line[2] - line[0]) / 2
        hessian[:, first, first] = line[2] + line[0] - 2 * line[1]
        for second in range(first):
            plane = np.moveaxis(around, (first, second), (0, 1))[:, :, 1]
            mixed = (plane[2, 2] - plane[2, 0] - plane[0, 2] + plane[0, 0]) / 4
            hessian[:, first, second] = hessian[:, second, first] = mixed
    return gradient, hessian


def _steps_to_extremum(
    gradient: NDArray[np.float64], hessian: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Steps by level, row and column to the top of the parabola through the neighbours.

    Too far where the parabola has no single top.
    """
    steps = np.full(gradient.shape, 2 * FURTHEST_STEP)
    has_top = np.abs(np.linalg.det(hessian)) > _FLATTEST
    slopes = gradient[has_top, :, np.newaxis]
    steps[has_top] = -np.linalg.solve(hessian[has_top], slopes)[..., 0]
    return steps
