"""The value that is measured: the angle of the optical axis above the table."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.geometry import Ellipse, Point, Tilt

TOLERANCE_DEG = 10.0  # smaller than the steps of a plan (level, 25, 45, 75, overhead)


@dataclass(frozen=True, slots=True)
class CameraElevation:
    """The angle of the optical axis above the table plane.

    Attributes
    ----------
    deg : float
        In [0, 90] degrees: 0 is level with the table, 90 straight down. The quantity's tolerance is
        in degrees.
    ellipses : tuple of Ellipse
        The rims that it was estimated from.
    tilts : tuple of Tilt
        Camera roll estimated from each of these rims; those that cannot determine it are left out.
    rectangles : tuple of tuple of Point
        Corners, in order, of the boards, trays, cloths and pattern squares that it was estimated
        from.
    lines : tuple of (Point, Point)
        Ends of the straight edges that it was estimated from, where there was neither a rim nor a
        whole rectangle.
    cropped_from : str or None
        Ratio of the frame that the picture was presumably cut from, such as ``"3:2"``; the error
        then includes that of the angle of view. None if it has the ratio of an exposed frame.
    """

    deg: float
    ellipses: tuple[Ellipse, ...]
    tilts: tuple[Tilt, ...] = ()
    rectangles: tuple[tuple[Point, ...], ...] = ()
    lines: tuple[tuple[Point, Point], ...] = ()
    cropped_from: str | None = None
