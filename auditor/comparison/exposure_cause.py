"""Whether a wrong exposure explains a wrong colour."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from auditor.colorimetry import (
    Lab,
    colour_difference,
    lab_from_hex,
    lab_from_linear,
    largest_component,
    linear_from_lab,
)
from auditor.comparison.item import ComparedItem
from auditor.values import Colours

GROUNDS = frozenset({"background", "surface"})


def is_explained(item: ComparedItem, exposure_ev: float | None) -> bool:
    """Whether background or surface misses its colour because of the picture's exposure.

    Parameters
    ----------
    item : ComparedItem
    exposure_ev : float or None
        How much lighter the picture is than the others, in EV; None if it does not leave the set.
    """
    if exposure_ev is None or item.quantity not in GROUNDS or item.tolerance is None:
        return False
    planned, measured = item.planned, item.measured
    if not isinstance(planned, Colours) or not isinstance(measured, Colours):
        return False
    found = lab_from_hex(measured.hexes[0])
    wanted = [lab_from_hex(colour) for colour in planned.hexes]
    return exposure_explains(wanted, found, exposure_ev, item.tolerance)


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
