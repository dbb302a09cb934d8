"""Camera elevation from round rims: a circle seen at e is an ellipse of axis ratio sin e."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.geometry import Ellipse
from auditor.quantity import Quantity


@dataclass(frozen=True, slots=True)
class CameraElevation:
    """How far above the table plane the camera looks down.

    Attributes
    ----------
    deg : float
        In [0, 90]: 0 level with the table, 90 straight down, along the optical axis; the
        quantity's tolerance is in degrees.
    ellipses : tuple of Ellipse
        The rims that it was read from.
    """

    deg: float
    ellipses: tuple[Ellipse, ...]


def measure_camera_elevation(
    rims: Sequence[tuple[Ellipse, float, float]],
    width: int,
    height: int,
    focal_length_35mm: float | None,
) -> Quantity[CameraElevation]:
    """Join the elevations that single rims speak of.

    Parameters
    ----------
    rims
        Ellipse, support and standard error of the axis ratio of each.
    width, height : int
        Of the frame, in any unit in the right proportion.
    focal_length_35mm : float or None
        From EXIF; corrects perspective where known.
    """
    raise NotImplementedError
