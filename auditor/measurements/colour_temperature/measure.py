"""The colour temperature of a picture's neutrals, with its clusters under mixed light."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import is_of_a_light, mired_from_kelvin
from auditor.colour_signature.neutral_plane import (
    MIN_CELLS,
    Cells,
    cct_duv_from_plane,
)
from auditor.measurements.colour_temperature.clusters import (
    Cluster,
    clusters_of,
    in_one_light,
)
from auditor.measurements.colour_temperature.colour_histograms import colour_histograms
from auditor.measurements.colour_temperature.light_border import LightBorder, find_border
from auditor.measurements.colour_temperature.light_map import light_map
from auditor.measurements.colour_temperature.neutral_network import estimate_neutral
from auditor.quantity import Quantity
from auditor.reasons import Reason

TOLERANCE_MIRED = 15.0
"""Tolerance of the measured value: half the step of a filter of one eighth to a quarter CTO, about
what is seen between two pictures side by side; common practice."""

SPREAD_MIRED = 12.6
"""Spread of a right estimate: that of a normal distribution with the median error of 8.5 mired on
rendered tables and photographs."""

NEAR_WARMTH_MIRED = 15.0
NEAR_DUV = 0.005
"""Distance from a neutral within which a cell counts as neutral: the tolerance in warmth, and about
the Duv within which CIE 224:2017 (0.0054) calls a light white."""

UNIFORM_SHARE = 0.97
"""Share of usable cells of one colour from which a picture is a grey card or a white-on-white set.
That colour is then its neutral, and the networks are not used."""

UNIFORM_CONFIDENCE = 0.85
"""Confidence for such a picture: even a uniform colour may be that of a thing."""

MAX_CAST_DUV = 0.02
"""Distance from D65 across the Planckian locus above which a uniform colour is that of a thing, not
a cast: four times what CIE 224:2017 (0.0054) calls white."""

MAX_CAST_MIRED = 70.0
"""The same along the locus: finished pictures are rarely balanced beyond 4500 K."""

N_PASSES = 2
"""Estimates of the mean of two lights, each with the border taken out by means of the last."""

MIN_CONFIDENCE = 0.3
"""Confidence below which there is no value: the frame has no neutral, or several colours could be
one."""


@dataclass(frozen=True, slots=True)
class TemperatureCluster:
    """One illuminant of a picture.

    Attributes
    ----------
    cct_k : float
        Correlated colour temperature, kelvin.
    duv : float
        Distance from the Planckian locus in CIE 1960 (u, v), positive towards green.
    share : float
        Share of the area free of subject and elements that it lights, in [0, 1].
    """

    cct_k: float
    duv: float
    share: float


@dataclass(frozen=True, slots=True)
class ColourTemperature:
    """Colour temperature of a picture's neutral; the quantity's tolerance is in mired.

    Attributes
    ----------
    cct_k, duv : float
        Correlated colour temperature in kelvin and Duv. A neutral picture has about 6504 K and a
        Duv of 0.003 (D65 is not on the Planckian locus). Under mixed light those of the light
        that covers most of the frame.
    mired : float
        1e6 / `cct_k`.
    clusters : tuple of TemperatureCluster
        One or two, largest share first.
    light_map : tuple of str
        Where each cluster lies, see `light_map`; empty if there is only one.
    """

    cct_k: float
    duv: float
    mired: float
    clusters: tuple[TemperatureCluster, ...]
    light_map: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Estimate:
    """A position in the plane of neutrals, and the probability of an error within tolerance."""

    position: NDArray[np.float64]
    confidence: float


def _near_share(cells: Cells, position: NDArray[np.float64]) -> float:
    """Share of the usable cells that are neutral if the neutral is at `position`."""
    away = np.abs(cells.plane - position)
    return float(((away[:, 0] <= NEAR_WARMTH_MIRED) & (away[:, 1] <= NEAR_DUV)).mean())


def _estimate(cells: Cells, max_cast_mired: float = MAX_CAST_MIRED) -> _Estimate:
    """Take the colour of a uniform picture, otherwise the estimate of the networks."""
    middle = np.median(cells.plane, axis=0)
    if _near_share(cells, middle) >= UNIFORM_SHARE:
        is_coloured = abs(middle[0]) > max_cast_mired or abs(middle[1]) > MAX_CAST_DUV
        return _Estimate(middle, 0.0 if is_coloured else UNIFORM_CONFIDENCE)
    neutral = estimate_neutral(colour_histograms(cells))
    return _Estimate(neutral.position, neutral.probability_within(TOLERANCE_MIRED))


def _mixed(
    cells: Cells, border: LightBorder, first: NDArray[np.float64]
) -> tuple[_Estimate, tuple[Cluster, ...]]:
    """Estimate the mean light of a mixed picture with its border taken out, and both lights.

    `first` is a rough estimate, which the curve of the locus needs.
    """
    neutral = _Estimate(first, 0.0)
    max_cast = MAX_CAST_MIRED + border.apart_mired  # of one light, the other far from neutral
    for _ in range(N_PASSES):
        neutral = _estimate(in_one_light(cells, border, neutral.position), max_cast)
    return neutral, clusters_of(cells, border, neutral.position)


def measure_colour_temperature(cells: Cells) -> Quantity[ColourTemperature]:
    """Measure the colour temperature of a picture's neutrals.

    Parameters
    ----------
    cells : Cells
        Of the picture (`cells_of`). Subject and elements count, since porcelain is the best
        indicator, and since what lies on both sides of a border of lights shows it; only the shares
        of the lights and their map leave them out.

    Returns
    -------
    Quantity of ColourTemperature
        Confidence and tolerance refer to `mired`. Undetermined with `Reason.NO_NEUTRAL` where the
        frame shows no neutral, or what could be one has the temperature of no light.

    Notes
    -----
    The values of two pictures of one scene underestimate their difference (`MODEL.md`). Use their
    `colour_signature` to compare them.
    """
    if len(cells.plane) < MIN_CELLS:
        return Quantity.undetermined(Reason.NO_NEUTRAL)
    estimate, border = _estimate(cells), find_border(cells)
    clusters: tuple[Cluster, ...] = ()
    if border is not None:
        estimate, clusters = _mixed(cells, border, estimate.position)
    if estimate.confidence < MIN_CONFIDENCE:
        return Quantity.undetermined(Reason.NO_NEUTRAL)
    if border is None:
        clusters = (Cluster((float(estimate.position[0]), float(estimate.position[1])), 1.0),)
    lights = tuple(
        TemperatureCluster(*cct_duv_from_plane(np.array(c.position)), c.share) for c in clusters
    )
    cct_k, duv = lights[0].cct_k, lights[0].duv
    if not is_of_a_light(cct_k):
        return Quantity.undetermined(Reason.NO_NEUTRAL)
    if not all(is_of_a_light(light.cct_k) for light in lights):
        lights, border = (TemperatureCluster(cct_k, duv, 1.0),), None  # the other is a thing's
    value = ColourTemperature(
        cct_k,
        duv,
        mired_from_kelvin(cct_k),
        lights,
        ()
        if border is None
        else light_map(cells, border, warm_first=lights[0].cct_k < lights[1].cct_k),
    )
    return Quantity.measured(
        value, confidence=estimate.confidence, tolerance=TOLERANCE_MIRED, spread=SPREAD_MIRED
    )
