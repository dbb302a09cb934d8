"""What the light of a whole picture averages to: what a camera or a converter may balance by.

G. D. Finlayson, E. Trezzi: Shades of gray and colour constancy (CIC 2004). On Bradford responses,
so that a change of white moves it by as much, where nothing is clipped.
"""

from __future__ import annotations

import numpy as np

from auditor.colorimetry import CONES_FROM_LINEAR
from auditor.colour_signature.neutral_plane import (
    LEAST_CELLS,
    Cells,
    plane_from_linear,
)

NORM = 6.0
"""Minkowski norm; Finlayson and Trezzi found 6 best."""

LEAST_MEAN = 1e-4
"""Of white's response, below which a mean is taken for this: it has no logarithm at 0."""


def average_warmth(cells: Cells) -> float | None:
    """Warmth, relative to D65, of the Minkowski mean; None of a black or a blown picture.

    Clipped cells count: what balanced the picture by its average saw them so.
    """
    light = cells.light.reshape(-1, 3)
    if np.count_nonzero(cells.usable) < LEAST_CELLS:
        return None
    cones = np.maximum(light @ CONES_FROM_LINEAR.T, 0)
    means = np.maximum((cones**NORM).mean(axis=0) ** (1 / NORM), LEAST_MEAN)
    return float(plane_from_linear(np.linalg.inv(CONES_FROM_LINEAR) @ means)[0])
