"""Whether a wrong exposure explains a wrong colour."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from auditor.colorimetry import (
    Lab,
    colour_difference,
    lab_from_linear,
    largest_component,
    linear_from_lab,
)


def exposure_explains(
    planned: Sequence[Lab], measured: Lab, exposure_ev: float, tolerance: float
) -> bool:
    """Whether a colour would be as planned, had the picture been exposed like the others.

    Parameters
    ----------
    planned : sequence of (3,) tuple of float
        CIELAB; the one nearest to the measured colour counts.
    measured : (3,) tuple of float
        CIELAB.
    exposure_ev : float
        How much lighter the picture is than the others, in EV.
    tolerance : float
        In CIEDE2000.
    """
    nearest = min(planned, key=lambda colour: colour_difference(colour, measured))
    if largest_component(nearest, measured) != ("lightness", exposure_ev > 0):
        return False
    linear = linear_from_lab(np.array(measured)) * 2.0**-exposure_ev
    lightness, a, b = (float(part) for part in lab_from_linear(linear))
    return colour_difference(nearest, (lightness, a, b)) <= tolerance
