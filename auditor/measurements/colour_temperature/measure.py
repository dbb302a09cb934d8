"""The colour temperature of a picture's neutrals: the likeliest one, its lights, the answer."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import mired_from_kelvin
from auditor.colour_signature.neutral_plane import (
    LEAST_CELLS,
    Cells,
    cct_duv_from_plane,
)
from auditor.measurements.colour_temperature.clusters import Cluster, find_clusters
from auditor.measurements.colour_temperature.colour_histograms import colour_histograms
from auditor.measurements.colour_temperature.light_map import light_map
from auditor.measurements.colour_temperature.neutral_network import likely_neutral
from auditor.quantity import Quantity
from auditor.reasons import Reason

TOLERANCE_MIRED = 15.0
"""Error within which the told value is meant to lie: half the step of a filter of one eighth to a
quarter CTO, about what is seen between two pictures side by side; common practice."""

NEAR_WARMTH_MIRED = 15.0
NEAR_DUV = 0.005
"""A cell this close to a neutral passes for neutral: the tolerance in warmth, and what CIE
224:2017 (0.0054) still calls white in Duv."""

WHITE_DUV = 0.02
"""Distance from D65 across the Planckian locus beyond which a colour is that of a thing, not of a
light: four times what CIE 224:2017 (0.0054) calls white."""

PLAIN_SHARE = 0.97
"""Share of the usable cells of one colour that makes a picture a grey card or a white-on-white set:
that colour is then its neutral, whatever food pictures look like."""

SETTLE_REACH_MIRED = 20.0
"""How far from the estimate a cluster may lie that is taken for what was estimated: half of what
parts two lights. Board beside porcelain makes clusters too, and is no reason to leave it."""

LEAST_CONFIDENCE = 0.3
"""Probability of an error within the tolerance below which nothing is told: the frame shows no
neutral, or several places could be one."""

PLAIN_CONFIDENCE = 0.85
"""The same of a grey card: even one colour may be that of a thing."""

SEEN_WARMTH_MIRED = 70.0
"""Distance from D65 beyond which one even colour is no longer taken for a cast of light: a finished
picture is seldom balanced past 4500 K."""


@dataclass(frozen=True, slots=True)
class TemperatureCluster:
    """One light of a mixed picture.

    Attributes
    ----------
    cct_k : float
        Correlated colour temperature, kelvin.
    duv : float
        Distance from the Planckian locus in CIE 1960 (u, v), positive towards green.
    share : float
        Share of the neutrals that it lights, in [0, 1].
    """

    cct_k: float
    duv: float
    share: float


@dataclass(frozen=True, slots=True)
class ColourTemperature:
    """The picture's neutral; the quantity's tolerance is in mired.

    Attributes
    ----------
    cct_k, duv : float
        A neutral picture reads about 6504 K, Duv 0.003 (D65 lies beside the Planckian locus).
    mired : float
        1e6 / `cct_k`.
    clusters : tuple of TemperatureCluster
        One or more, largest share first.
    light_map : tuple of str
        Where each cluster lies, see `light_map`; empty where there is one only.
    """

    cct_k: float
    duv: float
    mired: float
    clusters: tuple[TemperatureCluster, ...]
    light_map: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Estimate:
    """A position in the plane of neutrals, and the probability that it is within the tolerance."""

    position: NDArray[np.float64]
    confidence: float


def _near_share(cells: Cells, position: NDArray[np.float64]) -> float:
    """Share of the usable cells that look neutral if the neutral is at `position`."""
    away = np.abs(cells.plane - position)
    return float(((away[:, 0] <= NEAR_WARMTH_MIRED) & (away[:, 1] <= NEAR_DUV)).mean())


def _estimate(cells: Cells) -> _Estimate:
    """The one colour of a plain picture, else what the network holds likeliest."""
    middle = np.median(cells.plane, axis=0)
    if _near_share(cells, middle) >= PLAIN_SHARE:
        is_coloured = abs(middle[0]) > SEEN_WARMTH_MIRED or abs(middle[1]) > WHITE_DUV
        return _Estimate(middle, 0.0 if is_coloured else PLAIN_CONFIDENCE)
    likely = likely_neutral(colour_histograms(cells))
    return _Estimate(likely.position, likely.within(TOLERANCE_MIRED))


def _settle(
    cells: Cells, position: NDArray[np.float64], clusters: tuple[Cluster, ...]
) -> NDArray[np.float64]:
    """Put the estimate onto the nearest cluster, if in reach or if all is one light or another."""
    nearest = min(clusters, key=lambda cluster: abs(cluster.position[0] - float(position[0])))
    reached = abs(nearest.position[0] - float(position[0])) <= SETTLE_REACH_MIRED
    neutral = sum(_near_share(cells, np.array(cluster.position)) for cluster in clusters)
    return np.array(nearest.position) if reached or neutral >= PLAIN_SHARE else position


def measure_colour_temperature(cells: Cells) -> Quantity[ColourTemperature]:
    """Tell the colour temperature of the neutrals of a picture.

    Parameters
    ----------
    cells : Cells
        Of the picture (`cells_of`). The colours of subject and elements count for the neutral
        (porcelain is the best witness) but not for the clusters of mixed light, where a warm food
        would pass for a lamp.

    Returns
    -------
    Quantity of ColourTemperature
        Confidence and tolerance are of `mired`. How far two pictures of one scene differ is told
        too small by their values (`MODEL.md`); the set compares them by their `colour_signature`.
        Undetermined with `NO_NEUTRAL` where nothing in the frame tells.
    """
    if len(cells.plane) < LEAST_CELLS:
        return Quantity.undetermined(Reason.NO_NEUTRAL)
    estimate = _estimate(cells)
    if estimate.confidence < LEAST_CONFIDENCE:
        return Quantity.undetermined(Reason.NO_NEUTRAL)
    free = ~cells.occupied[cells.usable]
    clusters = find_clusters(cells.plane[free], cells.brightness[free], estimate.position)
    position = (
        _settle(cells, estimate.position, clusters) if len(clusters) > 1 else estimate.position
    )
    cct_k, duv = cct_duv_from_plane(position)
    value = ColourTemperature(
        cct_k,
        duv,
        mired_from_kelvin(cct_k),
        tuple(
            TemperatureCluster(*cct_duv_from_plane(np.array(c.position)), c.share) for c in clusters
        ),
        light_map(cells, clusters) if len(clusters) > 1 else (),
    )
    return Quantity.measured(value, confidence=estimate.confidence, tolerance=TOLERANCE_MIRED)
