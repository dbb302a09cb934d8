"""The average colour of a whole picture, by which a camera or a raw converter may set the white.

Shades of gray: G. D. Finlayson, E. Trezzi: Shades of gray and colour constancy (CIC 2004). It is
computed on Bradford responses, so that a change of white shifts the average by the same amount
where nothing is clipped.
"""

from __future__ import annotations

import numpy as np

from auditor.colorimetry import CONES_FROM_LINEAR
from auditor.colour_signature.neutral_plane import (
    MIN_CELLS,
    Cells,
    plane_from_linear,
)

NORM = 6.0
"""Order of the Minkowski norm; Finlayson and Trezzi found 6 to be best."""

MIN_MEAN_RESPONSE = 1e-4
"""Floor of a mean response relative to white's, so that its logarithm is finite; no source."""


def average_warmth(cells: Cells) -> float | None:
    """Warmth of the Minkowski mean over all cells.

    Clipped cells are included, as they are in the average that a camera or a converter computes.

    Parameters
    ----------
    cells : Cells
        Of the picture.

    Returns
    -------
    float or None
        Mired relative to D65; None where fewer than `MIN_CELLS` cells are usable (a black or a
        clipped picture).
    """
    light = cells.light.reshape(-1, 3)
    if np.count_nonzero(cells.usable) < MIN_CELLS:
        return None
    cones = np.maximum(light @ CONES_FROM_LINEAR.T, 0)
    means = np.maximum((cones**NORM).mean(axis=0) ** (1 / NORM), MIN_MEAN_RESPONSE)
    return float(plane_from_linear(np.linalg.inv(CONES_FROM_LINEAR) @ means)[0])
