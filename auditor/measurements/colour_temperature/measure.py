"""The colour temperature of a picture's neutrals: estimators, their agreement, the answer."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import mired_from_kelvin
from auditor.measurements.colour_temperature.clusters import Cluster, find_clusters
from auditor.measurements.colour_temperature.estimators import (
    EDGE_SURPLUS_MIRED,
    SHADES_SURPLUS_MIRED,
    grey_edge_mired,
    shades_of_grey_mired,
)
from auditor.measurements.colour_temperature.neutral_plane import (
    Cells,
    cct_duv_from_plane,
)
from auditor.measurements.colour_temperature.surface_colours import likeliest_neutral
from auditor.quantity import Quantity
from auditor.reasons import Reason

TOLERANCE_MIRED = 15.0
"""Error within which the told value is meant to lie: half the step of a filter of one eighth to a
quarter CTO, about what is seen between two pictures side by side; common practice."""

LEAST_CELLS = 60
"""Usable cells, of about 6000, below which a picture is black, white or clipped."""

NEAR_WARMTH_MIRED = 15.0
NEAR_DUV = 0.005
"""A cell this close to a neutral passes for neutral: the tolerance in warmth, and what CIE
224:2017 (0.0054) still calls white in Duv."""

ABSENT_WARMTH_MIRED = 25.0
LEAST_NEAR_SHARE = 0.002
"""Share of the usable cells this close to the told neutral below which nothing in the picture is
neutral: about the rim of a cup, and farther off than the estimate usually errs."""

WHITE_DUV = 0.02
"""Distance from D65 across the Planckian locus beyond which a colour is that of a thing, not of a
light: four times what CIE 224:2017 (0.0054) calls white."""

PLAIN_SHARE = 0.97
"""Share of the usable cells of one colour that makes a picture a grey card or a white-on-white set:
that colour is then its neutral, whatever food pictures look like."""

LEASH_MIRED = 15.0
"""How far the averages may draw the answer from the likeliest neutral: they err farthest where one
coloured thing fills the frame."""

SETTLE_REACH_MIRED = 20.0
"""How far from the estimate a cluster may lie that is taken for what was estimated."""

BEST_CONFIDENCE, WORST_CONFIDENCE, DISAGREEMENT_SCALE_MIRED = 0.85, 0.25, 45.0
"""Probability of an error within the tolerance where the estimators agree and where they do not,
and the disagreement over which it falls (exponentially); from 58 rendered tables of known light,
on which 92 % of the fifth that agreed best and 27 % of the fifth that agreed least were within."""

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
    """

    cct_k: float
    duv: float
    mired: float
    clusters: tuple[TemperatureCluster, ...]


@dataclass(frozen=True, slots=True)
class _Estimate:
    """A position in the plane of neutrals, and how far the estimators are from agreeing on it."""

    position: NDArray[np.float64]
    disagreement_mired: float


def _near_share(
    cells: Cells, position: NDArray[np.float64], reach_mired: float = NEAR_WARMTH_MIRED
) -> float:
    """Share of the usable cells that look neutral if the neutral is at `position`."""
    away = np.abs(cells.plane - position)
    return float(((away[:, 0] <= reach_mired) & (away[:, 1] <= NEAR_DUV)).mean())


def _estimate(cells: Cells) -> _Estimate:
    """Median of the estimators in warmth; the likeliest neutral tells the Duv."""
    middle = np.median(cells.plane, axis=0)
    if _near_share(cells, middle) >= PLAIN_SHARE:
        return _Estimate(middle, 0.0)
    likeliest = likeliest_neutral(cells.plane, cells.brightness)
    told = [float(likeliest[0]), shades_of_grey_mired(cells) - SHADES_SURPLUS_MIRED]
    edge = grey_edge_mired(cells)
    if edge is not None:
        told.append(edge - EDGE_SURPLUS_MIRED)
    reach = (told[0] - LEASH_MIRED, told[0] + LEASH_MIRED)
    position = np.array([float(np.clip(np.median(told), *reach)), float(likeliest[1])])
    return _Estimate(position, max(told) - min(told))


def _settle(position: NDArray[np.float64], clusters: tuple[Cluster, ...]) -> NDArray[np.float64]:
    """Put the estimate onto the nearest cluster within reach."""
    nearest = min(clusters, key=lambda cluster: abs(cluster.position[0] - float(position[0])))
    reached = abs(nearest.position[0] - float(position[0])) <= SETTLE_REACH_MIRED
    return np.array(nearest.position) if reached else position


def _confidence(estimate: _Estimate) -> float:
    """Probability that the error is within the tolerance, from how far the estimators agree."""
    agreement = float(np.exp(-estimate.disagreement_mired / DISAGREEMENT_SCALE_MIRED))
    return WORST_CONFIDENCE + (BEST_CONFIDENCE - WORST_CONFIDENCE) * agreement


def _nothing_neutral(cells: Cells, position: NDArray[np.float64]) -> bool:
    """Whether nothing lies at the neutral told, or one coloured surface fills the frame."""
    if _near_share(cells, position, ABSENT_WARMTH_MIRED) < LEAST_NEAR_SHARE:
        return True
    coloured = abs(float(position[0])) > SEEN_WARMTH_MIRED or abs(float(position[1])) > WHITE_DUV
    return coloured and _near_share(cells, position) >= PLAIN_SHARE


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
        Confidence and tolerance are of `mired`. Values of two pictures of one scene may be
        compared far below the tolerance. Undetermined with `NO_NEUTRAL` where nothing near neutral
        is in the frame.
    """
    if len(cells.plane) < LEAST_CELLS:
        return Quantity.undetermined(Reason.NO_NEUTRAL)
    estimate = _estimate(cells)
    free = ~cells.occupied[cells.usable]
    clusters = find_clusters(cells.plane[free], cells.brightness[free], estimate.position)
    position = _settle(estimate.position, clusters) if len(clusters) > 1 else estimate.position
    if _nothing_neutral(cells, position):
        return Quantity.undetermined(Reason.NO_NEUTRAL)
    cct_k, duv = cct_duv_from_plane(position)
    value = ColourTemperature(
        cct_k,
        duv,
        mired_from_kelvin(cct_k),
        tuple(
            TemperatureCluster(*cct_duv_from_plane(np.array(c.position)), c.share) for c in clusters
        ),
    )
    return Quantity.measured(value, confidence=_confidence(estimate), tolerance=TOLERANCE_MIRED)
