"""A coarse map of where in the frame each illuminant of a mixed picture falls."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import cell_means, grid_shape
from auditor.colour_signature.neutral_plane import Cells
from auditor.measurements.colour_temperature.clusters import (
    MAX_DUV_DISTANCE,
    MIN_BRIGHTNESS,
    MIN_SEPARATION_MIRED,
    Cluster,
)

LONGEST_SIDE_CELLS = 24
"""Cells of the map along the longest side: a plate covers several cells, and the map stays
small."""

MIN_NEUTRAL_SHARE = 0.125
"""Share of a cell of the map that must be neutral; common practice, no source."""

NO_LIGHT = "."
"""Marks a cell of the map that has too little neutral area."""


def light_map(cells: Cells, clusters: Sequence[Cluster]) -> tuple[str, ...]:
    """Map the illuminants over the frame.

    Parameters
    ----------
    cells : Cells
        Of the picture.
    clusters : sequence of Cluster
        The illuminants, found in the area that neither subject nor elements cover; at most ten.

    Returns
    -------
    tuple of str
        Rows from the top. Each character is the index of the cluster to which most neutrals of that
        cell belong, or `NO_LIGHT`.
    """
    lit = _lit(cells, np.array([cluster.position for cluster in clusters]))
    rows, columns = grid_shape(lit.shape[0], lit.shape[1], LONGEST_SIDE_CELLS)
    shares = cell_means(lit.astype(np.float64), rows, columns)
    numbers = np.where(shares.sum(axis=-1) >= MIN_NEUTRAL_SHARE, shares.argmax(axis=-1), -1)
    return tuple(
        "".join(NO_LIGHT if number < 0 else str(number) for number in row)
        for row in numbers.tolist()
    )


def _lit(cells: Cells, positions: NDArray[np.float64]) -> NDArray[np.bool_]:
    """True where a cell is neutral under an illuminant, (rows, columns, illuminants)."""
    away = np.abs(cells.plane[:, np.newaxis] - positions)
    nearest = away[..., 0].argmin(axis=1)[:, np.newaxis] == np.arange(len(positions))
    near = (away[..., 0] <= MIN_SEPARATION_MIRED / 2) & (away[..., 1] <= MAX_DUV_DISTANCE)
    neutral = cells.brightness >= MIN_BRIGHTNESS
    lit = np.zeros((*cells.usable.shape, len(positions)), dtype=np.bool_)
    lit[cells.usable] = nearest & near & neutral[:, np.newaxis]
    lit[cells.occupied] = False
    return lit
