"""Energies of fine and coarse differences, tile by tile, in four directions.

A tile's energy in one direction is the mean square of the differences between pixels a fixed
distance apart in that direction. The frame is read along rows a few pixels apart, the same number
in each tile. The mirror image of a picture is read along the mirrored rows and in the mirrored
tiles.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

REFERENCE_SIDE_PX = 2048
"""Longest side up to which fine differences span one pixel; at larger sizes they span more, so that
blur is measured relative to the frame, as a viewer sees it, not to the camera's pixels."""

COARSE_RATIO = 4
"""Coarse differences span four times the fine ones."""

LINES_LONG_SIDE = 512
"""Rows read along the longest side: in a larger picture neighbouring rows are almost alike."""

N_TILES_LONG_SIDE = 32
"""Tiles along the longest side: about the size of an olive on a plate that fills the frame."""

ACROSS, DOWN, FALLING, RISING = range(4)

Tiles = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class DifferenceEnergies:
    """Mean squares of differences in squared 8-bit code values.

    Attributes
    ----------
    fine, coarse : (4, rows, columns) float array
        The first axis is `ACROSS`, `DOWN`, `FALLING` (to the lower right), `RISING`. A diagonal
        difference spans that many pixels across and as many down, so 1.4 times the distance.
    n_samples : float
        Number of differences read in a tile in one direction.
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
    """Difference energies of (H, W) uint8 code values, both sides at least 64 px."""
    height, width = plane.shape
    n_rows, n_columns = tile_shape(height, width)
    rows_read = height * min(1.0, LINES_LONG_SIDE / max(height, width))
    lines_in_tile = 2 * max(1, round(rows_read / n_rows / 2))
    lag = math.ceil(max(height, width) / REFERENCE_SIDE_PX)
    spans = (lag, lag * COARSE_RATIO)
    fine, coarse = (
        np.stack([_mean_in_tiles(of, width, n_columns) for of in by_direction])
        for by_direction in _squares(plane, spans, (n_rows, lines_in_tile))
    )
    return DifferenceEnergies(fine, coarse, lines_in_tile * width / n_columns)


def _squares(
    plane: NDArray[np.uint8], spans: tuple[int, int], layout: tuple[int, int]
) -> list[list[NDArray[np.float32]]]:
    """Mean squares of differences by span and direction.

    Each array is (rows of tiles, width), the width less the span except for `DOWN`. `layout` is the
    number of rows of tiles and of lines read in each.
    """
    n_rows, lines_in_tile = layout
    level = _lines(plane.shape[0], n_rows * lines_in_tile).reshape(n_rows, -1)
    upper = [
        _lines(plane.shape[0] - span, n_rows * lines_in_tile).reshape(n_rows, -1) for span in spans
    ]
    widths = [[plane.shape[1] - span * (way != DOWN) for way in range(4)] for span in spans]
    squares = [[np.empty((n_rows, n), dtype=np.float32) for n in of_span] for of_span in widths]
    # One row of tiles at a time stays in the processor's cache.
    for row in range(n_rows):
        lines = plane[level[row]].astype(np.float32)
        for nth, span in enumerate(spans):
            above, below = (
                plane[upper[nth][row] + further].astype(np.float32) for further in (0, span)
            )
            differences = (
                lines[:, span:] - lines[:, :-span],
                below - above,
                below[:, span:] - above[:, :-span],
                above[:, span:] - below[:, :-span],
            )
            for way, one in enumerate(differences):
                squares[nth][way][row] = np.einsum("lx,lx->x", one, one) / lines_in_tile
    return squares


def _lines(n: int, n_lines: int) -> NDArray[np.intp]:
    """An even number of places spread over range(n), the same when counted from its end."""
    first = np.floor((np.arange(n_lines // 2) + 0.5) * n / n_lines).astype(np.intp)
    return np.concatenate((first, n - 1 - first[::-1]))


def _mean_in_tiles(values: NDArray[np.float32], width: int, n_columns: int) -> Tiles:
    """Mean over columns of tiles of (rows, n) values that lie in the middle of the width.

    In a small picture the values may end before the outermost tile begins; such a tile takes the
    outermost value.
    """
    n = values.shape[1]
    totals = np.zeros((values.shape[0], n + 1))
    np.cumsum(values, axis=1, dtype=np.float64, out=totals[:, 1:])
    edges = np.clip(np.linspace(0, width, n_columns + 1) - (width - n) / 2, 0, n)
    whole = np.minimum(edges.astype(np.intp), n - 1)
    at_edges = totals[:, whole] + (edges - whole) * values[:, whole]
    n_values = np.diff(edges)
    means: Tiles = values[:, whole[:-1]].astype(np.float64)
    np.divide(np.diff(at_edges, axis=1), n_values, out=means, where=n_values > 0)
    return means
