"""Light direction: the clock position of the key light around the subject on the table plane."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Light:
    """Where the key light stands.

    Attributes
    ----------
    clock : float
        In (0, 12]: 12 behind the subject, 3 right, 6 at the camera, 9 left; the quantity's
        tolerance is in hours.
    """

    clock: float


def measure_light(
    pixels: NDArray[np.uint8],
    subject_mask: NDArray[np.bool_],
    element_labels: NDArray[np.int32],
    elevation_deg: float | None,
) -> Quantity[Light]:
    """Tell the direction of the key light from shading, cast shadows and fall-off.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    subject_mask, element_labels : (h, w) arrays
        Cover the frame.
    elevation_deg : float or None
        Of the camera, to bring directions in the picture to the table plane; 45 is assumed, with
        less confidence, where it is not known.
    """
    raise NotImplementedError
