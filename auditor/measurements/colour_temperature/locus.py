"""The Planckian locus in the plane of neutrals, where it is a curve that leaves the axis."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import (
    D65_DUV,
    D65_MIRED,
    kelvin_from_mired,
    linear_from_xyz,
    uv_from_cct_duv,
    xy_from_uv,
    xyz_from_xy,
)
from auditor.colour_signature.neutral_plane import plane_from_linear

Floats = NDArray[np.float64]

WARMTH_RANGE_MIRED = (-110, 300)
"""Range of lights, relative to D65: from deep shade (about 20 000 K) to candle light (about
2200 K)."""

LOCUS_STEP_MIRED = 10
"""Spacing of the points that represent the locus; it is nearly straight between them."""


@lru_cache(maxsize=1)
def _points() -> tuple[Floats, Floats]:
    """Positions in the plane of lights with the Duv of D65."""
    low, high = WARMTH_RANGE_MIRED
    mired = D65_MIRED + np.arange(low, high + LOCUS_STEP_MIRED, LOCUS_STEP_MIRED)
    uv = np.stack([uv_from_cct_duv(kelvin_from_mired(m), D65_DUV) for m in mired.tolist()])
    plane = plane_from_linear(linear_from_xyz(xyz_from_xy(xy_from_uv(uv))))
    return plane[:, 0], plane[:, 1]


def locus_duv(warmth: Floats) -> Floats:
    """Duv axis of the plane, relative to D65, of lights of this warmth with the Duv of D65.

    Constant beyond `WARMTH_RANGE_MIRED`.
    """
    return np.asarray(np.interp(warmth, *_points()))
