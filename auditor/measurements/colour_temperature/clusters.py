"""Mixed light: the neutrals of a picture under each of its lights."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d
from scipy.signal import argrelmax

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

BIN_MIRED = 2.0
REACH_MIRED = (-110, 300)
"""Warmth relative to D65, from deep shade (about 20 000 K) to candle light (about 2200 K)."""

LOCUS_STEP_MIRED = 10
"""Steps over which the curve of the locus is straight enough."""

SMOOTHING_MIRED = 7.0
"""Blur of the histogram of warmth: a neutral spreads over about as much."""

SMALLEST_SHARE = 0.10
"""Share of the neutrals below which a cluster is no light of its own."""

SMALLEST_SEPARATION_MIRED = 40.0
"""Closer clusters are one light with its fall-off and reflections; 40 mired is the step from
daylight to a cloudy sky or between two lamp filters, common practice."""

DEEPEST_VALLEY = 0.5
"""Height between two peaks, over the lower one, above which they are one cluster."""

LARGEST_DUV = 0.006
"""Distance across the Planckian locus, from the picture's neutral, within which a cell may be
neutral: CIE 224:2017 holds lights beyond 0.0054 to be no whites."""

SMALLEST_BRIGHTNESS = 0.3
"""Brightness, of the light tones, below which a warm cell is likelier wood than lit porcelain."""


BRIGHTEST_PERCENTILE = 90.0
LEAST_RELATIVE_BRIGHTNESS = 0.6
"""Brightness of a cluster's light cells over that of the brightest cluster. Two lights fall on
things as light as each other; board beside porcelain is darker."""


@lru_cache(maxsize=1)
def _locus() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Where lights of D65's Duv lie in the plane, whose straight axis their curve leaves.

    At illuminant A, 200 mired from D65, by more than `LARGEST_DUV`.
    """
    low, high = REACH_MIRED
    mired = D65_MIRED + np.arange(low, high + LOCUS_STEP_MIRED, LOCUS_STEP_MIRED)
    uv = np.stack([uv_from_cct_duv(kelvin_from_mired(m), D65_DUV) for m in mired.tolist()])
    plane = plane_from_linear(linear_from_xyz(xyz_from_xy(xy_from_uv(uv))))
    return plane[:, 0], plane[:, 1]


@dataclass(frozen=True, slots=True)
class Cluster:
    """Neutrals of one light: position in the plane of neutrals, and share of the neutrals."""

    position: tuple[float, float]
    share: float


def _peaks(density: NDArray[np.float64]) -> list[int]:
    """Bins of the peaks that stand apart, highest first."""
    padded = np.concatenate([[0.0], density, [0.0]])
    found = argrelmax(padded)[0] - 1
    kept: list[int] = []
    for peak in sorted((int(i) for i in found), key=lambda i: (-density[i], i)):
        apart = all(
            abs(peak - other) * BIN_MIRED >= SMALLEST_SEPARATION_MIRED
            and density[min(peak, other) : max(peak, other) + 1].min()
            < DEEPEST_VALLEY * density[peak]
            for other in kept
        )
        if apart:
            kept.append(peak)
    return kept


def find_clusters(
    plane: NDArray[np.float64], brightness: NDArray[np.float64], neutral: NDArray[np.float64]
) -> tuple[Cluster, ...]:
    """Clusters of neutral cells in warmth, largest share first; at least one.

    Parameters
    ----------
    plane : (N, 2) float array
        Warmth in mired and Duv of the cells, relative to D65.
    brightness : (N,) float array
        Over the light tones of the picture.
    neutral : (2,) float array
        The picture's neutral as estimated; the one cluster where no others stand apart.
    """
    low, high = REACH_MIRED
    across = plane[:, 1] - np.interp(plane[:, 0], *_locus())
    near = np.abs(across - neutral[1] + np.interp(neutral[0], *_locus())) <= LARGEST_DUV
    usable = near & (brightness >= SMALLEST_BRIGHTNESS) & (plane[:, 0] > low) & (plane[:, 0] < high)
    candidates, lightness = plane[usable], brightness[usable]
    alone = (Cluster((float(neutral[0]), float(neutral[1])), 1.0),)
    if not len(candidates):
        return alone
    edges = np.arange(low, high + BIN_MIRED, BIN_MIRED)
    counts, _ = np.histogram(candidates[:, 0], bins=edges)
    peaks = _peaks(gaussian_filter1d(counts.astype(np.float64), SMOOTHING_MIRED / BIN_MIRED))
    if not peaks:  # two bins as high as each other have no peak between them
        return alone
    middles = np.array([edges[i] + BIN_MIRED / 2 for i in peaks])
    distance = np.abs(candidates[:, :1] - middles)
    nearest, inside = distance.argmin(axis=1), distance.min(axis=1) <= SMALLEST_SEPARATION_MIRED / 2
    members = [inside & (nearest == k) for k in range(len(peaks))]
    members = [m for m in members if m.sum() >= SMALLEST_SHARE * len(candidates)]
    light = [float(np.percentile(lightness[m], BRIGHTEST_PERCENTILE)) for m in members]
    members = [
        m
        for m, b in zip(members, light, strict=True)
        if b >= LEAST_RELATIVE_BRIGHTNESS * max(light)
    ]
    if len(members) < 2:
        return alone
    total = float(sum(m.sum() for m in members))
    clusters = []
    for m in members:
        warmth, duv = (float(v) for v in np.median(candidates[m], axis=0))
        clusters.append(Cluster((warmth, duv), float(m.sum()) / total))
    return tuple(sorted(clusters, key=lambda cluster: (-cluster.share, cluster.position)))
