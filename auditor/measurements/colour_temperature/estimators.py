"""Neutrals after grey-world reasoning: what the light tones and the edges of a picture average to.

G. D. Finlayson, E. Trezzi: Shades of gray and colour constancy (CIC 2004); J. van de Weijer,
T. Gevers, A. Gijsenij: Edge-based color constancy (IEEE TIP 2007). All work on Bradford responses,
so that a change of white moves what they tell by exactly as much.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, laplace

from auditor.colorimetry import BRADFORD, XYZ_FROM_LINEAR
from auditor.measurements.colour_temperature.neutral_plane import Cells, plane_from_linear

SHADES_NORM = 6.0
"""Minkowski norm of shades of grey; Finlayson and Trezzi found 6 best."""

EDGE_NORM = 5.0
"""Minkowski norm of grey edge, second order; within the 1 to 7 of van de Weijer and others."""

EDGE_BLUR_CELLS = 1.0
"""Blur before the second derivative."""

SHADES_SURPLUS_MIRED = 15.0
EDGE_SURPLUS_MIRED = 8.0
"""By how much the average of food pictures is warmer than their light. Medians over the likeliest
neutral on 84 photographs of dishes: 15 and 1; on 58 rendered tables of known light with cream and
brown crockery: 27 and 20; with pure white crockery: 0."""

NO_EDGE = 1e-4
"""Second derivative, of white's 1, below which a picture has no edges to average."""

CONES_FROM_LINEAR = BRADFORD @ XYZ_FROM_LINEAR


def _warmth_of_cones(cones: NDArray[np.float64]) -> float:
    return float(plane_from_linear(np.linalg.inv(CONES_FROM_LINEAR) @ cones)[0])


def shades_of_grey_mired(cells: Cells) -> float:
    """Warmth, relative to D65, of the Minkowski mean of the usable cells."""
    cones = np.maximum(cells.light[cells.usable] @ CONES_FROM_LINEAR.T, 0)
    return _warmth_of_cones((cones**SHADES_NORM).mean(axis=0) ** (1 / SHADES_NORM))


def grey_edge_mired(cells: Cells) -> float | None:
    """Warmth, relative to D65, of the Minkowski mean of second derivatives; None without edges."""
    cones = np.maximum(cells.light @ CONES_FROM_LINEAR.T, 0)
    edges = np.stack(
        [
            np.abs(laplace(gaussian_filter(cones[..., k], EDGE_BLUR_CELLS)))[cells.usable]
            for k in range(3)
        ],
        axis=-1,
    )
    means = (edges**EDGE_NORM).mean(axis=0) ** (1 / EDGE_NORM)
    if means.min() < NO_EDGE:
        return None
    return _warmth_of_cones(means)
