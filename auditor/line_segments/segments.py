"""Line segments as arrays."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse, diagonal_px

Floats = NDArray[np.float64]

RIM_RANGE = (0.35, 1.5)  # of the rim's radius: includes the well, the lip and the contact shadow
RIM_ANGLE_DEG = 14.0  # a segment this close to the tangent of a rim is part of it


@dataclass(frozen=True, slots=True)
class LineSegments:
    """n straight edges, in pixels of a reduced picture.

    Attributes
    ----------
    width, height : float
        Of the whole frame in these pixels; positions are (x, y) from its upper left corner.
    centres : (n, 2) float array
        Middle of each segment.
    directions : (n, 2) float array
        Unit vectors along the segments, y downwards.
    lengths_px : (n,) float array
    contrasts : (n,) float array
        Height of the step across the edge, in [0, 1] of the sRGB scale; underestimated by a
        quarter for the faintest steps, whose ends are cut off.
    """

    width: float
    height: float
    centres: Floats
    directions: Floats
    lengths_px: Floats
    contrasts: Floats

    def __len__(self) -> int:
        return int(self.lengths_px.size)

    @property
    def angles_deg(self) -> Floats:
        """Angle of each segment, in (-90, 90], positive if rising to the right."""
        angles = np.degrees(np.arctan2(-self.directions[:, 1], self.directions[:, 0]))
        folded = np.mod(angles + 90, 180) - 90
        return np.where(folded <= -90, 90.0, folded)

    def chosen(self, which: NDArray[np.bool_] | NDArray[np.intp]) -> LineSegments:
        """Return some of the segments, by mask or by index."""
        return LineSegments(
            self.width,
            self.height,
            self.centres[which],
            self.directions[which],
            self.lengths_px[which],
            self.contrasts[which],
        )


def without_rims(segments: LineSegments, rims: Sequence[Ellipse]) -> LineSegments:
    """Drop segments that run along a rim, or along a ring inside or outside it.

    Parameters
    ----------
    segments : LineSegments
    rims : sequence of Ellipse
        In the frame of reference of `auditor.geometry`.
    """
    diagonal = diagonal_px(segments.width, segments.height)
    kept = np.ones(len(segments), dtype=bool)
    angles = np.degrees(np.arctan2(-segments.directions[:, 1], segments.directions[:, 0]))
    for rim in rims:
        tilt = math.radians(rim.angle_deg)
        x = segments.centres[:, 0] - rim.centre.x * segments.width
        y = rim.centre.y * segments.height - segments.centres[:, 1]
        major, minor = (max(axis * diagonal, 1.0) for axis in rim.semi_axes)
        u = (x * math.cos(tilt) + y * math.sin(tilt)) / major
        v = (y * math.cos(tilt) - x * math.sin(tilt)) / minor
        radius = np.hypot(u, v)
        tangent = np.degrees(np.arctan2(minor * u, -major * v)) + rim.angle_deg
        off = np.abs(np.mod(angles - tangent + 90, 180) - 90)
        near = (radius > RIM_RANGE[0]) & (radius < RIM_RANGE[1])
        kept &= ~(near & (off < RIM_ANGLE_DEG) & (segments.lengths_px < major))
    return segments.chosen(kept)
