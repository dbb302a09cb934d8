"""Colour as a term of the fits of luminance.

Brightness that changes with colour is cloth, glaze or sauce, not light, so luminance is fitted by
position and chromaticity together.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

CHROMATICITY_SCALE = 10.0  # typical variation of chromaticity is a tenth
RANK_TOLERANCE = 1e-9  # of the largest singular value


def colour_columns(chromaticity: Floats) -> Floats:
    """Columns of a design matrix, (2, N), from (N, 2) chromaticities."""
    return np.asarray(((chromaticity - chromaticity.mean(axis=0)) * CHROMATICITY_SCALE).T)


def least_squares(design: Floats, values: Floats, ridge: Floats | None = None) -> Floats:
    """Least squares by the normal equations, which also work if chromaticity is constant.

    `ridge` is the squared penalty of each coefficient.
    """
    square = design.T @ design
    if ridge is not None:
        square = square + np.diag(ridge)
    return np.asarray(np.linalg.lstsq(square, design.T @ values, rcond=RANK_TOLERANCE)[0])
