"""The common plane of several rims."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse
from auditor.measurements.camera_elevation.circle_pose import elevation_deg, plane_normals

Floats = NDArray[np.float64]

# Standard error of the axis ratio besides that of the fit: dishes are not perfectly round, lenses
# distort, and the edge may be the inner or the outer one.
ROUNDNESS_ERROR = 0.005
AGREEMENT_DEG = 8.0  # standard deviation of a rim's plane from the table's: bowls stand tilted
OUTLIER_DEG = 15.0  # a rim farther than this from the common plane is left out
ROLL_SINE = 0.2  # standard deviation of camera roll: about 12 degrees
OVERSHOOT_SINE = 0.2  # the same of how far the camera looks past straight down
OVERHEAD_DEG = 6.0  # within this of straight down, an overhead view was intended
OVERHEAD_PREFERENCE = 1.5  # overhead is one of the three usual angles; 70 to 85 degrees is rare
OTHER_ELEVATION_DEG = 10.0  # planes nearer to each other than the tolerance are the same answer
MIN_STEEPNESS = 1e-6  # avoids a division by zero for a perfect circle


@dataclass(frozen=True, slots=True)
class RimPose:
    """The possible planes of one rim.

    Attributes
    ----------
    ellipse : Ellipse
    normals : (2, 3) float array
        Unit normals of the two planes in which the rim may lie.
    ratio_error : float
        Standard error of the axis ratio (minor over major).
    error_deg : float
        Standard error of the elevation.
    support : float
        Share of the circumference in the frame that lies on an edge, in [0, 1].
    weight : float
        Support times the square of the major semi-axis, so that large rims dominate.
    """

    ellipse: Ellipse
    normals: Floats
    ratio_error: float
    error_deg: float
    support: float
    weight: float


@dataclass(frozen=True, slots=True)
class Consensus:
    """The rims that agree on one plane.

    Attributes
    ----------
    elevation_deg : float
        Weighted median over these rims.
    rims : tuple of RimPose
        The rims that agree.
    planes : (N, 3) float array
        Unit normal of the plane chosen for each of them.
    share : float
        Their share of the total weight, in [0, 1].
    error_deg : float
        Standard error of the elevation.
    other_chance : float
        Probability that the rims lie in the other plane of theirs, at another elevation.
    """

    elevation_deg: float
    rims: tuple[RimPose, ...]
    planes: Floats
    share: float
    error_deg: float
    other_chance: float


def pose_of_rim(
    ellipse: Ellipse,
    support: float,
    axis_ratio_error: float,
    frame: tuple[float, float],
    focal_length: float,
) -> RimPose:
    """Compute the possible planes of a rim, their error and the rim's weight.

    Parameters
    ----------
    ellipse : Ellipse
    support : float
        Share of the circumference in the frame that lies on an edge, in [0, 1].
    axis_ratio_error : float
        Standard error of the axis ratio, from the fit.
    frame : tuple of float
        Width and height of the frame; only their ratio matters.
    focal_length : float
        In units of the frame's diagonal.
    """
    ratio_error = float(np.hypot(axis_ratio_error, ROUNDNESS_ERROR))
    rounder = _without_noise(ellipse, ratio_error)
    normals = plane_normals(rounder, *frame, focal_length)
    ratio = rounder.semi_axes[1] / rounder.semi_axes[0]
    steepness = float(np.sqrt(max(1 - ratio**2, 0.0)))
    # de = dr / cos e. Near a circle the error stays finite: e = 90 degrees - sqrt(2 (1 - r)).
    error = min(ratio_error / max(steepness, MIN_STEEPNESS), float(np.sqrt(2 * ratio_error)))
    error_deg = float(np.degrees(error))
    weight = support * ellipse.semi_axes[0] ** 2
    return RimPose(ellipse, normals, ratio_error, error_deg, support, weight)


def _without_noise(ellipse: Ellipse, ratio_error: float) -> Ellipse:
    """Remove the bias that noise adds to the flattening of an ellipse.

    The flattening 1 - b/a is the length of a vector whose direction is twice that of the axis.
    Equal noise in both components adds twice its variance to the squared length.
    """
    a, b = ellipse.semi_axes
    squared = max((1 - b / a) ** 2 - 2 * ratio_error**2, 0.0)
    return Ellipse(ellipse.centre, (a, a * (1 - float(np.sqrt(squared)))), ellipse.angle_deg)


def find_consensus(rims: Sequence[RimPose]) -> Consensus:
    """Find the plane that most of the weight agrees with, and its elevation; at least one rim."""
    weights = np.array([rim.weight for rim in rims])
    normals = np.stack([rim.normals for rim in rims])
    plausible = _plausibility(normals)
    angles = _angles_deg(normals.reshape(-1, 3), normals)  # (2N, N, 2)
    agreement = np.exp(-0.5 * (angles / AGREEMENT_DEG) ** 2) * plausible
    score = (weights * agreement.max(axis=2)).sum(axis=1) * plausible.reshape(-1)
    best = int(score.argmax())
    chosen = agreement[best].argmax(axis=1)
    rows = np.arange(len(rims))
    planes = normals[rows, chosen]
    used = angles[best][rows, chosen] <= OUTLIER_DEG
    elevations = np.array([elevation_deg(n) for n in planes])
    second = np.array([elevation_deg(n) for n in normals[rows, 1 - chosen]])
    differ = used & (np.abs(second - elevations[best // 2]) > OTHER_ELEVATION_DEG)
    other = float(np.max(score[2 * rows + 1 - chosen], where=differ, initial=0.0))
    return Consensus(
        weighted_median(elevations[used], weights[used]),
        tuple(rim for rim, is_used in zip(rims, used, strict=True) if is_used),
        planes[used],
        float(weights[used].sum() / weights.sum()),
        _error_deg(elevations[used], weights[used], [rim.error_deg for rim in rims], used),
        other / (float(score[best]) + other),
    )


def _plausibility(normals: Floats) -> Floats:
    """Plausibility of planes (..., 3) for a level table and a level camera; relative."""
    sideways, down = normals[..., 0], normals[..., 1]
    level = np.exp(-0.5 * (sideways / ROLL_SINE) ** 2)
    upright = np.exp(-0.5 * (np.maximum(down, 0) / OVERSHOOT_SINE) ** 2)
    overhead = np.abs(normals[..., 2]) > np.cos(np.radians(OVERHEAD_DEG))
    return np.asarray(level * upright * np.where(overhead, OVERHEAD_PREFERENCE, 1.0))


def _angles_deg(references: Floats, normals: Floats) -> Floats:
    """Angles (R, N, 2), in degrees, between references (R, 3) and normals (N, 2, 3)."""
    cosine = np.einsum("rk,nsk->rns", references, normals)
    return np.asarray(np.degrees(np.arccos(np.clip(cosine, -1, 1))))


def weighted_median(values: Floats, weights: Floats) -> float:
    """Median of values (N,) with weights (N,), interpolated between neighbours."""
    order = np.argsort(values)
    values, weights = values[order], weights[order]
    middle = (np.cumsum(weights) - weights / 2) / weights.sum()
    return float(np.interp(0.5, middle, values))


def _error_deg(
    elevations: Floats, weights: Floats, errors_deg: list[float], used: NDArray[np.bool_]
) -> float:
    """Standard error of the common elevation: mean error of single rims, and their scatter."""
    share = weights / weights.sum()
    single = float(share @ np.array(errors_deg)[used])
    scatter = float(np.sqrt(share @ (elevations - share @ elevations) ** 2))
    return float(np.hypot(single, scatter))
