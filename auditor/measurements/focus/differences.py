"""Energies of fine and coarse differences, tile by tile, in four directions.

A tile's energy in one direction is the mean square of the differences between pixels so far apart
in that direction. The frame is read along rows a few pixels apart, as many to every tile. Which
rows are read, and which pixels count to which tile, mirrors with the picture.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

REFERENCE_SIDE_PX = 2048
"""Longest side up to which fine differences span one pixel; at larger sizes they span more, so that
blur is judged against the frame, as a viewer sees it, not against the camera's pixels."""

COARSE_RATIO = 4
"""Coarse differences span four times the fine ones."""

LINES_LONG_SIDE = 512
"""Rows read along the longest side: in a larger picture neighbours tell the same."""

N_TILES_LONG_SIDE = 32
"""Tiles along the longest side: about the size of an olive in a plate that fills the frame."""

ACROSS, DOWN, FALLING, RISING = range(4)

Tiles = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class DifferenceEnergies:
    """Mean squares of differences in squared 8-bit code values.

    Attributes
    ----------
    fine, coarse : (4, rows, columns) float array
        The first axis is `ACROSS`, `DOWN`, `FALLING` (to the lower right), `RISING`. Along the
        diagonals a difference spans as many pixels across and as many down, so 1.4 times the
        distance.
    n_samples : float
        Differences read in a tile and direction.
    """

    fine: Tiles
    coarse: Tiles
    n_samples: float


def tile_shape(height: int, width: int) -> tuple[int, int]:
    """Rows and columns of tiles in a frame."""
    longest = max(height, width)
    n_rows = max(1, round(N_TILES_LONG_SIDE * height / longest))
    return n_rows, max(1, round(N_TILES_LONG_SIDE * width / longest))


def difference_energies(plane: NDArray[np.uint8]) -> DifferenceEnergies:
    """Read the differences of (H, W) uint8 code values; both sides at least 64 px."""
    longest = max(plane.shape)
    n_rows, n_columns = tile_shape(*plane.shape)
    rows_read = plane.shape[0] * min(1.0, LINES_LONG_SIDE / longest)
    lines_in_tile = 2 * max(1, round(rows_read / n_rows / 2))
    lag = math.ceil(longest / REFERENCE_SIDE_PX)
    fine, coarse = (
        _energies(plane, span, (n_rows, lines_in_tile, n_columns))
        for span in (lag, lag * COARSE_RATIO)
    )
    return DifferenceEnergies(fine, coarse, lines_in_tile * plane.shape[1] / n_columns)


def _energies(plane: NDArray[np.uint8], span: int, layout: tuple[int, int, int]) -> Tiles:
    """Energies of differences over `span` pixels, (4, rows, columns).

    `layout` is rows of tiles, lines read in each, columns of tiles.
    """
    height, width = plane.shape
    n_rows, lines_in_tile, n_columns = layout
    level = _lines(height, n_rows * lines_in_tile).reshape(n_rows, -1)
    upper = _lines(height - span, n_rows * lines_in_tile).reshape(n_rows, -1)
    squares: list[list[NDArray[np.float32]]] = []
    # One row of tiles at a time stays in the processor's cache.
    for row in range(n_rows):
        lines, above, below = (
            plane[chosen].astype(np.float32)
            for chosen in (level[row], upper[row], upper[row] + span)
        )
        differences = (
            lines[:, span:] - lines[:, :-span],
            below - above,
            below[:, span:] - above[:, :-span],
            above[:, span:] - below[:, :-span],
        )
        squares.append([np.einsum("lx,lx->x", one, one) / lines_in_tile for one in differences])
    by_direction = zip(*squares, strict=True)
    return np.stack([_mean_in_tiles(np.stack(rows), width, n_columns) for rows in by_direction])


def _lines(n: int, n_lines: int) -> NDArray[np.intp]:
    """An even number of places spread over range(n): counted from its end, the same places."""
    first = np.floor((np.arange(n_lines // 2) + 0.5) * n / n_lines).astype(np.intp)
    return np.concatenate((first, n - 1 - first[::-1]))


def _mean_in_tiles(values: NDArray[np.float32], width: int, n_columns: int) -> Tiles:
    """Mean over columns of tiles of (rows, n) values that lie in the middle of the width."""
    n = values.shape[1]
    totals = np.zeros((values.shape[0], n + 1))
    np.cumsum(values, axis=1, dtype=np.float64, out=totals[:, 1:])
    edges = np.clip(np.linspace(0, width, n_columns + 1) - (width - n) / 2, 0, n)
    whole = np.minimum(edges.astype(np.intp), n - 1)
    at_edges = totals[:, whole] + (edges - whole) * values[:, whole]
    means: Tiles = np.diff(at_edges, axis=1) / np.diff(edges)
    return means
