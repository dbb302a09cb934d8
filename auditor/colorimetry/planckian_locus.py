"""The Planckian locus: the chromaticity of a black body by temperature, in CIE 1960 (u, v)."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

SECOND_RADIATION_CONSTANT_M_K: Final = 1.4388e-2
"""c2 of Planck's law as used in colorimetry (CIE 15:2018)."""

COOLEST_KELVIN: Final = 1000.0
HOTTEST_KELVIN: Final = 100_000.0  # 10 mired: above it the locus hardly changes
TABLE_STEP: Final = 1.0025
"""Ratio of neighbouring temperatures in the table.

The error of the method of Ohno 2013 grows with the step. At a quarter of a percent, from 1005 to
20 000 K, it is at most 0.14 K (0.004 mired) on the locus. Within a Duv of 0.02 it is at most 0.43 K
(0.013 mired), just below the Duv at which the method changes its solution (checked in the tests).
"""


class Locus(NamedTuple):
    """The locus as a table.

    Attributes
    ----------
    kelvin : (N,) float array
        Ascending; neighbours have the ratio `TABLE_STEP`.
    uv : (N, 2) float array
        CIE 1960 (u, v).
    """

    kelvin: NDArray[np.float64]
    uv: NDArray[np.float64]


@lru_cache(maxsize=1)
def _observer() -> NDArray[np.float64]:
    """Wavelength in nm and the CIE 1931 colour-matching functions x, y, z, (N, 4)."""
    text = files(__package__).joinpath("cie_1931_2_degree_observer.csv").read_text("ascii")
    return np.loadtxt(text.splitlines(), delimiter=",", comments="#")


def planckian_uv(kelvin: NDArray[np.floating] | float) -> NDArray[np.float64]:
    """CIE 1960 (u, v) of a black body.

    Parameters
    ----------
    kelvin : (...) float array
        Temperature; at least about 500 K.

    Returns
    -------
    (..., 2) float array
        CIE 1960 (u, v).
    """
    observer = _observer()
    wavelength_m = observer[:, 0] * 1e-9
    exponent = SECOND_RADIATION_CONSTANT_M_K / (
        wavelength_m * np.asarray(kelvin, dtype=np.float64)[..., np.newaxis]
    )
    # The first radiation constant cancels in a chromaticity. Dividing by 560 nm keeps the numbers
    # near 1.
    radiance = (560e-9 / wavelength_m) ** 5 / np.expm1(exponent)
    X, Y, Z = np.moveaxis(radiance @ observer[:, 1:], -1, 0)
    total = X + 15 * Y + 3 * Z
    return np.stack([4 * X / total, 6 * Y / total], axis=-1)


@lru_cache(maxsize=1)
def planckian_locus() -> Locus:
    """Tabulate the locus from `COOLEST_KELVIN` to `HOTTEST_KELVIN`."""
    n_steps = int(np.ceil(np.log(HOTTEST_KELVIN / COOLEST_KELVIN) / np.log(TABLE_STEP)))
    kelvin = COOLEST_KELVIN * np.power(TABLE_STEP, np.arange(n_steps + 1, dtype=np.float64))
    uv = planckian_uv(kelvin)
    kelvin.flags.writeable = uv.flags.writeable = False
    return Locus(kelvin, uv)
