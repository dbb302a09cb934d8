"""Mixed light: clusters of neutral cells, one for each illuminant of a picture."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

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
"""Bin width of the histogram of warmth."""

WARMTH_RANGE_MIRED = (-110, 300)
"""Range of the histogram, relative to D65: from deep shade (about 20 000 K) to candle light (about
2200 K)."""

LOCUS_STEP_MIRED = 10
"""Spacing of the points that represent the locus; it is nearly straight between them."""

SMOOTHING_MIRED = 7.0
"""Standard deviation of the smoothing of the histogram: about the spread of one neutral."""

MIN_SHARE = 0.10
"""Share of the candidate cells below which a cluster is not an illuminant of its own."""

MIN_SEPARATION_MIRED = 40.0
"""Distance below which two clusters are one illuminant with its fall-off and reflections. 40 mired
is the step from daylight to a cloudy sky, or between two lamp filters; common practice."""

MAX_VALLEY = 0.5
"""Height of the histogram between two peaks, relative to the lower one, above which they are one
cluster."""

MAX_DUV_DISTANCE = 0.006
"""Distance across the Planckian locus from the picture's neutral within which a cell may be
neutral. CIE 224:2017 does not consider lights beyond 0.0054 to be white."""

MIN_BRIGHTNESS = 0.3
"""Brightness relative to the light tones below which a warm cell is more likely wood than lit
porcelain."""

BRIGHT_PERCENTILE = 90.0
MIN_RELATIVE_BRIGHTNESS = 0.6
"""Least brightness of a cluster, at `BRIGHT_PERCENTILE` of its cells, relative to that of the
brightest cluster. Two illuminants fall on things of similar lightness; a board beside porcelain is
darker."""


@lru_cache(maxsize=1)
def _locus() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Positions in the plane of lights with the Duv of D65.

    They form a curve that departs from the straight axis: at illuminant A, 200 mired from D65, by
    more than `MAX_DUV_DISTANCE`.
    """
    low, high = WARMTH_RANGE_MIRED
    mired = D65_MIRED + np.arange(low, high + LOCUS_STEP_MIRED, LOCUS_STEP_MIRED)
    uv = np.stack([uv_from_cct_duv(kelvin_from_mired(m), D65_DUV) for m in mired.tolist()])
    plane = plane_from_linear(linear_from_xyz(xyz_from_xy(xy_from_uv(uv))))
    return plane[:, 0], plane[:, 1]


@dataclass(frozen=True, slots=True)
class Cluster:
    """Neutral cells under one illuminant.

    Attributes
    ----------
    position : tuple of float
        Warmth in mired and Duv, relative to D65.
    share : float
        Share of the neutral cells, in (0, 1].
    """

    position: tuple[float, float]
    share: float


def _peaks(density: NDArray[np.float64]) -> list[int]:
    """Bins of the well separated peaks, highest first."""
    padded = np.concatenate([[0.0], density, [0.0]])
    found = np.flatnonzero((density > padded[:-2]) & (density > padded[2:]))
    kept: list[int] = []
    for peak in sorted((int(i) for i in found), key=lambda i: (-density[i], i)):
        apart = all(
            abs(peak - other) * BIN_MIRED >= MIN_SEPARATION_MIRED
            and density[min(peak, other) : max(peak, other) + 1].min() < MAX_VALLEY * density[peak]
            for other in kept
        )
        if apart:
            kept.append(peak)
    return kept


def find_clusters(
    plane: NDArray[np.float64], brightness: NDArray[np.float64], neutral: NDArray[np.float64]
) -> tuple[Cluster, ...]:
    """Find clusters of neutral cells by warmth.

    Parameters
    ----------
    plane : (N, 2) float array
        Warmth in mired and Duv of the cells, relative to D65.
    brightness : (N,) float array
        Relative to the light tones of the picture.
    neutral : (2,) float array
        The estimated neutral of the picture.

    Returns
    -------
    tuple of Cluster
        Largest share first. A single cluster at `neutral` where the cells do not form several.
    """
    low, high = WARMTH_RANGE_MIRED
    across = plane[:, 1] - np.interp(plane[:, 0], *_locus())
    near = np.abs(across - neutral[1] + np.interp(neutral[0], *_locus())) <= MAX_DUV_DISTANCE
    usable = near & (brightness >= MIN_BRIGHTNESS) & (plane[:, 0] > low) & (plane[:, 0] < high)
    candidates, lightness = plane[usable], brightness[usable]
    alone = (Cluster((float(neutral[0]), float(neutral[1])), 1.0),)
    if not len(candidates):
        return alone
    edges = np.arange(low, high + BIN_MIRED, BIN_MIRED)
    counts, _ = np.histogram(candidates[:, 0], bins=edges)
    peaks = _peaks(gaussian_filter1d(counts.astype(np.float64), SMOOTHING_MIRED / BIN_MIRED))
    if not peaks:  # two equally high neighbouring bins have no peak
        return alone
    middles = np.array([edges[i] + BIN_MIRED / 2 for i in peaks])
    distance = np.abs(candidates[:, :1] - middles)
    nearest, inside = distance.argmin(axis=1), distance.min(axis=1) <= MIN_SEPARATION_MIRED / 2
    members = [inside & (nearest == k) for k in range(len(peaks))]
    members = [m for m in members if m.sum() >= MIN_SHARE * len(candidates)]
    light = [float(np.percentile(lightness[m], BRIGHT_PERCENTILE)) for m in members]
    members = [
        m for m, b in zip(members, light, strict=True) if b >= MIN_RELATIVE_BRIGHTNESS * max(light)
    ]
    if len(members) < 2:
        return alone
    total = float(sum(m.sum() for m in members))
    clusters = []
    for m in members:
        warmth, duv = (float(v) for v in np.median(candidates[m], axis=0))
        clusters.append(Cluster((warmth, duv), float(m.sum()) / total))
    return tuple(sorted(clusters, key=lambda cluster: (-cluster.share, cluster.position)))
