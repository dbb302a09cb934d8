"""Colour temperature of the picture's neutrals as displayed, and its clusters under mixed light."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.quantity import Quantity


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


def measure_colour_temperature(
    pixels: NDArray[np.uint8], occupied: NDArray[np.bool_]
) -> Quantity[ColourTemperature]:
    """Tell the colour temperature of the neutrals in (H, W, 3) uint8 sRGB pixels.

    `occupied` is a (h, w) bool mask of subject and elements, whose colours are less to be trusted.
    """
    raise NotImplementedError
