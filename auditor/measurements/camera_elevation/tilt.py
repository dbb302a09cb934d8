"""The roll that rims speak of: the plane of a level one leans neither to the left nor the right."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse, Tilt
from auditor.measurements.camera_elevation.circle_pose import plane_normals
from auditor.measurements.camera_elevation.consensus import Consensus, Reading

Floats = NDArray[np.float64]

# Chance that a rim of so much support is round, level and drawn on one edge all around. Read from
# 267 rendered tables of the teaching family, cameras rolled by up to 8 degrees.
SUPPORTS = (0.6, 0.8, 1.0)
CHANCES = (0.3, 0.6, 0.7)
# Of the assumed focal length to the true one: 30 mm or 85 mm for 50 mm.
FOCAL_LENGTH_RATIO = 1.7
USELESS_DEG = 20.0  # a rim seen from overhead tells its tilt no better than chance
# A camera is held level to about 12 degrees; a plane that leans farther is that of no table, or,
# near overhead, leans towards the camera by an error of the fit.
FARTHEST_DEG = 15.0


@dataclass(frozen=True, slots=True)
class Frame:
    """The frame in which rims are seen.

    Attributes
    ----------
    width, height : int
        In any unit in the right proportion.
    focal_length : float
        In units of the frame's diagonal.
    focal_length_is_known : bool
        Or else assumed.
    """

    width: int
    height: int
    focal_length: float
    focal_length_is_known: bool


def tilts_of_rims(consensus: Consensus, frame: Frame) -> tuple[Tilt, ...]:
    """Roll by each rim that agrees, with its standard error; none for those that cannot tell."""
    tilts = []
    for reading, plane in zip(consensus.readings, consensus.planes, strict=True):
        tilt_deg, error_deg = _tilt_deg(plane), _error_deg(reading, plane, frame)
        if error_deg < USELESS_DEG and abs(tilt_deg) < FARTHEST_DEG:
            chance = float(np.interp(reading.support, SUPPORTS, CHANCES))
            tilts.append(Tilt(tilt_deg, error_deg, chance * consensus.share))
    return tuple(tilts)


def _tilt_deg(normal: Floats) -> float:
    """How far the normal leans to the left, seen along the optical axis; y points downwards."""
    return float(np.degrees(np.arctan2(-normal[0], -normal[1])))


def _error_deg(reading: Reading, plane: Floats, frame: Frame) -> float:
    """Standard error of the tilt: what the fit leaves open, and the focal length if assumed."""
    (a, b), angle, centre = (
        reading.ellipse.semi_axes,
        reading.ellipse.angle_deg,
        reading.ellipse.centre,
    )
    # The flattening is a vector whose direction is twice that of the axis; noise is the same along
    # and across it.
    turn_deg = float(np.degrees(reading.ratio_error / (2 * max(1 - b / a, reading.ratio_error))))
    rounder = min(b + a * reading.ratio_error, a)
    changed = [
        (Ellipse(centre, (a, b), angle + turn_deg), frame.focal_length),
        (Ellipse(centre, (a, rounder), angle), frame.focal_length),
    ]
    if not frame.focal_length_is_known:
        changed.append((reading.ellipse, frame.focal_length * FOCAL_LENGTH_RATIO))
    here = _tilt_deg(plane)
    squared = 0.0
    for ellipse, focal_length in changed:
        normals = plane_normals(ellipse, frame.width, frame.height, focal_length)
        change = _tilt_deg(normals[int((normals @ plane).argmax())]) - here
        squared += ((change + 180.0) % 360.0 - 180.0) ** 2
    return float(np.sqrt(squared))
