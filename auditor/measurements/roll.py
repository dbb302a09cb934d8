"""Roll: the tilt of the lines that should be level or upright."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse
from auditor.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Roll:
    """How far the picture is turned.

    Attributes
    ----------
    deg : float
        Positive where level things rise to the right (turn the picture clockwise to mend it); the
        quantity's tolerance is in degrees.
    """

    deg: float


def measure_roll(
    pixels: NDArray[np.uint8], rims: Sequence[Ellipse], elevation_deg: float | None
) -> Quantity[Roll]:
    """Tell the roll of (H, W, 3) uint8 sRGB pixels from table edges, backdrop lines and uprights.

    Seen from overhead nothing has to be level: `Reason.NO_LEVEL_LINE` unless an edge speaks.
    """
    raise NotImplementedError
