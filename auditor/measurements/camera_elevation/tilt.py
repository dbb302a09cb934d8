"""Camera roll from rims: the plane of a level rim leans neither to the left nor to the right."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse, Tilt
from auditor.measurements.camera_elevation.circle_pose import plane_normals
from auditor.measurements.camera_elevation.consensus import Consensus, RimPose

Floats = NDArray[np.float64]

# Probability, by support, that a rim is round and level and was fitted to one edge all around. From
# 267 rendered tables of the teaching family, camera roll up to 8 degrees.
SUPPORTS = (0.6, 0.8, 1.0)
PROBABILITIES = (0.3, 0.6, 0.7)
# Ratio between the assumed and the true focal length: 30 mm or 85 mm instead of 50 mm.
FOCAL_LENGTH_RATIO = 1.7
MAX_ERROR_DEG = 20.0  # from overhead a rim does not determine its tilt at all
# Camera roll is at most about 12 degrees. A plane that leans farther is not the table, or it is
# seen from nearly overhead and leans towards the camera by an error of the fit.
MAX_TILT_DEG = 15.0
# Small rims are more often not level or not round: pastries, pinch bowls, dishes on an edge of
# cloth. Their probability falls in proportion to their semi-axis, and again where they disagree
# with the largest rim; no source.
LEVEL_DISHES_DEG = 1.0  # dishes on one table differ by this much besides the errors of the fit
MAX_DISAGREEMENT = 2.0  # standard errors
DISAGREEING_SHARE = 0.5  # of the probability that is left beyond; no source


@dataclass(frozen=True, slots=True)
class Frame:
    """The frame and its lens.

    Attributes
    ----------
    width, height : int
        Only their ratio matters.
    focal_length : float
        In units of the frame's diagonal.
    focal_length_is_known : bool
        False if the focal length is assumed.
    """

    width: int
    height: int
    focal_length: float
    focal_length_is_known: bool


def tilts_of_rims(consensus: Consensus, frame: Frame) -> tuple[Tilt, ...]:
    """Estimate the roll from each rim of the consensus; those with large errors are left out.

    The largest of these rims counts in full, the others by their size and their agreement with it.
    """
    usable: list[tuple[RimPose, Tilt]] = []
    for rim, plane in zip(consensus.rims, consensus.planes, strict=True):
        lean_deg, error_deg = tilt_deg(plane), _error_deg(rim, plane, frame)
        if error_deg < MAX_ERROR_DEG and abs(lean_deg) < MAX_TILT_DEG:
            probability = float(np.interp(rim.support, SUPPORTS, PROBABILITIES))
            usable.append((rim, Tilt(lean_deg, error_deg, probability * consensus.share)))
    if not usable:
        return ()
    largest_rim, largest = max(usable, key=lambda one: one[0].ellipse.semi_axes[0])
    size = largest_rim.ellipse.semi_axes[0]
    return tuple(
        replace(tilt, chance=tilt.chance * _share(rim.ellipse.semi_axes[0] / size, tilt, largest))
        for rim, tilt in usable
    )


def _share(relative_size: float, tilt: Tilt, largest: Tilt) -> float:
    """Factor of a rim's probability, from its size and from the tilt of the largest rim."""
    error_deg = math.hypot(tilt.error_deg, largest.error_deg, LEVEL_DISHES_DEG)
    agrees = abs(tilt.deg - largest.deg) <= MAX_DISAGREEMENT * error_deg
    return relative_size * (1.0 if agrees else DISAGREEING_SHARE)


def tilt_deg(normal: Floats) -> float:
    """Angle by which the normal leans to the left, seen along the optical axis."""
    return float(np.degrees(np.arctan2(-normal[0], -normal[1])))


def _error_deg(rim: RimPose, plane: Floats, frame: Frame) -> float:
    """Standard error of the tilt, from the fit and, if it is assumed, from the focal length."""
    (a, b), angle, centre = (
        rim.ellipse.semi_axes,
        rim.ellipse.angle_deg,
        rim.ellipse.centre,
    )
    # The flattening is a vector whose direction is twice that of the axis; its noise is equal along
    # and across.
    turn_deg = float(np.degrees(rim.ratio_error / (2 * max(1 - b / a, rim.ratio_error))))
    rounder = min(b + a * rim.ratio_error, a)
    changed = [
        (Ellipse(centre, (a, b), angle + turn_deg), frame.focal_length),
        (Ellipse(centre, (a, rounder), angle), frame.focal_length),
    ]
    if not frame.focal_length_is_known:
        changed.append((rim.ellipse, frame.focal_length * FOCAL_LENGTH_RATIO))
    here = tilt_deg(plane)
    squared = 0.0
    for ellipse, focal_length in changed:
        normals = plane_normals(ellipse, frame.width, frame.height, focal_length)
        change = tilt_deg(normals[int((normals @ plane).argmax())]) - here
        squared += ((change + 180.0) % 360.0 - 180.0) ** 2
    return float(np.sqrt(squared))
