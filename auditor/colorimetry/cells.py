"""A picture reduced to a coarse grid of cells: mean light per cell, and masks on the grid."""

from __future__ import annotations

from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry.srgb import LINEAR_FROM_BYTE

_Value = TypeVar("_Value", bound=np.generic)

SAMPLES_PER_CELL = 4
"""Pixels sampled along each side of a cell. Sixteen samples average grain at a fraction of the
cost of all pixels. The number is even, so that no sample falls on the middle of the frame, where a
picture and its mirror image would differ."""

DENSE_SHARE = 0.6
"""Share of the columns sampled from which all are looked up before the samples are chosen; only for
speed."""

_STEPS: Final = 1 << 24
"""Integer steps of linear light from black to white: a sum of sixteen fits 32 bits."""

_LIGHT_STEPS: Final = np.rint(LINEAR_FROM_BYTE.astype(np.float64) * _STEPS).astype(np.uint32)


def _edges(length: int, n_cells: int) -> NDArray[np.intp]:
    """First index of each of `n_cells` cells over `length` pixels, symmetric about the middle."""
    edges: NDArray[np.intp] = np.rint(np.arange(n_cells) * (length / n_cells)).astype(np.intp)
    return edges


def cell_means(values: NDArray[np.floating], n_rows: int, n_columns: int) -> NDArray[np.floating]:
    """Mean of (H, W, ...) values over each of (n_rows, n_columns) cells."""
    height, width = values.shape[:2]
    rows, columns = _edges(height, n_rows), _edges(width, n_columns)
    sums = np.add.reduceat(np.add.reduceat(values, rows, axis=0), columns, axis=1)
    counts = np.outer(np.diff(rows, append=height), np.diff(columns, append=width))
    means: NDArray[np.floating] = sums / counts.astype(values.dtype).reshape(
        counts.shape + (1,) * (values.ndim - 2)
    )
    return means


def grid_shape(height: int, width: int, longest_side: int) -> tuple[int, int]:
    """Rows and columns of a grid of nearly square cells, no finer than the pixels."""
    scale = min(1.0, longest_side / max(height, width))
    return max(1, round(height * scale)), max(1, round(width * scale))


def _samples(length: int, n_cells: int) -> NDArray[np.intp]:
    """Indices of pixels spread evenly over each cell, symmetric about the middle."""
    per_cell = min(SAMPLES_PER_CELL, -(-length // n_cells))
    n_samples = n_cells * (per_cell + per_cell % 2)
    samples = ((np.arange(n_samples) + 0.5) * length / n_samples).astype(np.intp)
    half = n_samples // 2  # ties of rounding must be mirrored too
    samples[n_samples - half :] = length - 1 - samples[:half][::-1]
    return samples


def cell_light(pixels: NDArray[np.uint8], longest_side: int) -> NDArray[np.float32]:
    """Mean linear sRGB of the cells of a grid over a picture.

    Linear light is averaged, not code values: a cell has the colour that the eye sees from afar.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    longest_side : int
        Cells along the longest side; fewer if the picture has fewer pixels.

    Returns
    -------
    (rows, columns, 3) float32 array
        Linear sRGB, in [0, 1].
    """
    height, width = pixels.shape[:2]
    n_rows, n_columns = grid_shape(height, width, longest_side)
    rows, columns = _samples(height, n_rows), _samples(width, n_columns)
    # Indexing single bytes is far faster than indexing pixels of three bytes.
    channels = (columns[:, np.newaxis] * 3 + np.arange(3)).ravel()
    codes = pixels[rows].reshape(len(rows), -1)
    is_coarse = len(columns) < DENSE_SHARE * width
    if is_coarse:
        codes = codes.take(channels, axis=1)
    # The sum of integers does not depend on their order: a mirrored picture has mirrored cells.
    light = np.take(_LIGHT_STEPS, codes).reshape(n_rows, len(rows) // n_rows, -1)
    bands = light.sum(axis=1, dtype=np.uint32)
    if not is_coarse:
        bands = bands.take(channels, axis=1)
    samples = bands.reshape(n_rows, n_columns, len(columns) // n_columns, 3)
    sums = samples[:, :, 0].copy()
    for nth in range(1, samples.shape[2]):
        sums += samples[:, :, nth]
    n_samples = len(rows) // n_rows * samples.shape[2]
    means: NDArray[np.float32] = sums.astype(np.float32) / np.float32(n_samples * _STEPS)
    return means


def on_grid(values: NDArray[_Value], n_rows: int, n_columns: int) -> NDArray[_Value]:
    """Sample a (h, w) mask or map of the whole frame at the cell centres of a grid."""
    height, width = values.shape
    rows = ((np.arange(n_rows) + 0.5) * height / n_rows).astype(np.intp)
    columns = ((np.arange(n_columns) + 0.5) * width / n_columns).astype(np.intp)
    # By rows and then by columns, which is far faster than by pairs of both.
    sampled: NDArray[_Value] = values.take(rows, axis=0).take(columns, axis=1)
    return sampled


def gaussian_weights(
    places: NDArray[np.floating], n_cells: int, sigma_cells: float
) -> NDArray[np.float64]:
    """Weights that read values of a row of cells, smoothly, at places between their centres.

    Parameters
    ----------
    places : (N,) float array
        In cells from the start of the row; the centre of the first cell is 0.5.
    n_cells : int
    sigma_cells : float
        Standard deviation of the weights, in cells.

    Returns
    -------
    (N, n_cells) float array
        Each row has the sum 1.
    """
    squares = (np.arange(n_cells) + 0.5 - np.asarray(places)[:, np.newaxis]) ** 2
    # Without the nearest distance a place far outside the row would have no weights at all.
    weights = np.exp((squares.min(axis=1, keepdims=True) - squares) / (2 * sigma_cells**2))
    normed: NDArray[np.float64] = weights / weights.sum(axis=1, keepdims=True)
    return normed
