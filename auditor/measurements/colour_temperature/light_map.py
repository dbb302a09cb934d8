"""Where in the frame each light of a mixed picture falls, as a coarse map."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import cell_means, grid_shape
from auditor.colour_signature.neutral_plane import Cells
from auditor.measurements.colour_temperature.clusters import (
    LARGEST_DUV,
    SMALLEST_BRIGHTNESS,
    SMALLEST_SEPARATION_MIRED,
    Cluster,
)

LONGEST_SIDE_CELLS = 24
"""Cells of the map along the longest side: a plate is some cells, and the map stays short."""

LEAST_NEUTRAL_SHARE = 0.125
"""Share of a cell that must be neutral to show its light; less is a speck (common practice, no
source)."""

NO_LIGHT = "."
"""Stands where nothing neutral shows the light."""


def light_map(cells: Cells, clusters: Sequence[Cluster]) -> tuple[str, ...]:
    """Draw which light falls where.

    Parameters
    ----------
    cells : Cells
    clusters : sequence of Cluster
        The lights, as found among what neither subject nor elements cover; at most ten.

    Returns
    -------
    tuple of str
        Rows from the top; in each place the number of the light on most of its neutrals, from 0
        in the order of the clusters, or `NO_LIGHT`.
    """
    lit = _lit(cells, np.array([cluster.position for cluster in clusters]))
    rows, columns = grid_shape(lit.shape[0], lit.shape[1], LONGEST_SIDE_CELLS)
    shares = cell_means(lit.astype(np.float64), rows, columns)
    numbers = np.where(shares.sum(axis=-1) >= LEAST_NEUTRAL_SHARE, shares.argmax(axis=-1), -1)
    return tuple(
        "".join(NO_LIGHT if number < 0 else str(number) for number in row)
        for row in numbers.tolist()
    )


def _lit(cells: Cells, positions: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Whether each cell is a neutral under each light, (rows, columns, lights)."""
    away = np.abs(cells.plane[:, np.newaxis] - positions)
    nearest = away[..., 0].argmin(axis=1)[:, np.newaxis] == np.arange(len(positions))
    near = (away[..., 0] <= SMALLEST_SEPARATION_MIRED / 2) & (away[..., 1] <= LARGEST_DUV)
    neutral = cells.brightness >= SMALLEST_BRIGHTNESS
    lit = np.zeros((*cells.usable.shape, len(positions)), dtype=np.bool_)
    lit[cells.usable] = nearest & near & neutral[:, np.newaxis]
    lit[cells.occupied] = False
    return lit
