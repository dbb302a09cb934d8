"""One plane that several rims speak of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse
from auditor.measurements.camera_elevation.circle_pose import elevation_deg, plane_normals

Floats = NDArray[np.float64]

# Dishes are not perfectly round, lenses bend them, an edge may be the inner or the outer one.
ROUNDNESS_ERROR = 0.005
AGREEMENT_DEG = 8.0  # standard deviation of a rim's plane about the table's: bowls stand askew
OUTLIER_DEG = 15.0  # a rim further than this from the others is left out
ROLL_SINE = 0.2  # a camera is held level to about 12 degrees
UPSIDE_DOWN_SINE = 0.2  # the table leans towards the camera by less than this past overhead
OVERHEAD_DEG = 6.0  # within this of straight down counts as the overhead view that was meant
OVERHEAD_PREFERENCE = 1.5  # overhead is one of the three usual angles; between 70 and 85 is rare


@dataclass(frozen=True, slots=True)
class Reading:
    """What one rim says.

    Attributes
    ----------
    ellipse : Ellipse
    normals : (2, 3) float array
        The two planes that it may lie in.
    ratio_error : float
        Standard error of minor over major axis.
    error_deg : float
        Standard error of the elevation.
    support : float
        Share of the circumference in the frame that lies on an edge, in [0, 1].
    weight : float
        The large rims have the say: the square of the size, times the support.
    """

    ellipse: Ellipse
    normals: Floats
    ratio_error: float
    error_deg: float
    support: float
    weight: float


@dataclass(frozen=True, slots=True)
class Consensus:
    """The readings that agree.

    Attributes
    ----------
    elevation_deg : float
    readings : tuple of Reading
        Those that were used.
    planes : (N, 3) float array
        The normal of the plane in which each of them was taken to lie.
    share : float
        Their share of the weight of all, in [0, 1].
    error_deg : float
        Standard error of the elevation.
    """

    elevation_deg: float
    readings: tuple[Reading, ...]
    planes: Floats
    share: float
    error_deg: float


def read_rim(
    ellipse: Ellipse,
    support: float,
    axis_ratio_error: float,
    frame: tuple[float, float],
    focal_length: float,
) -> Reading:
    """Turn a rim into planes, with an error and a weight."""
    ratio_error = float(np.hypot(axis_ratio_error, ROUNDNESS_ERROR))
    rounder = _without_noise(ellipse, ratio_error)
    normals = plane_normals(rounder, *frame, focal_length)
    ratio = rounder.semi_axes[1] / rounder.semi_axes[0]
    steepness = float(np.sqrt(max(1 - ratio**2, 0.0)))
    # de = dr / cos e; at the circle itself e = 90 - sqrt(2 (1 - r)), so it stays finite.
    error = min(ratio_error / max(steepness, 1e-6), float(np.sqrt(2 * ratio_error)))
    error_deg = float(np.degrees(error))
    weight = support * ellipse.semi_axes[0] ** 2
    return Reading(ellipse, normals, ratio_error, error_deg, support, weight)


def _without_noise(ellipse: Ellipse, ratio_error: float) -> Ellipse:
    """Take out what noise alone adds to the flattening of a circle.

    The flattening 1 - b/a is the length of a vector (its direction is twice that of the axis);
    noise of the same size along both components adds its variance twice to the square.
    """
    a, b = ellipse.semi_axes
    squared = max((1 - b / a) ** 2 - 2 * ratio_error**2, 0.0)
    return Ellipse(ellipse.centre, (a, a * (1 - float(np.sqrt(squared)))), ellipse.angle_deg)


def find_consensus(readings: Sequence[Reading]) -> Consensus:
    """Find the plane that most of the weight agrees with, and read the elevation off it."""
    weights = np.array([r.weight for r in readings])
    normals = np.stack([r.normals for r in readings])
    plausible = _plausibility(normals)
    angles = _angles_deg(normals.reshape(-1, 3), normals)  # (2N, N, 2)
    agreement = np.exp(-0.5 * (angles / AGREEMENT_DEG) ** 2) * plausible
    score = (weights * agreement.max(axis=2)).sum(axis=1) * plausible.reshape(-1)
    best = int(score.argmax())
    chosen = agreement[best].argmax(axis=1)
    rows = np.arange(len(readings))
    planes = normals[rows, chosen]
    used = angles[best][rows, chosen] <= OUTLIER_DEG
    elevations = np.array([elevation_deg(n) for n in planes])
    return Consensus(
        weighted_median(elevations[used], weights[used]),
        tuple(r for r, u in zip(readings, used, strict=True) if u),
        planes[used],
        float(weights[used].sum() / weights.sum()),
        _error_deg(elevations[used], weights[used], [r.error_deg for r in readings], used),
    )


def _plausibility(normals: Floats) -> Floats:
    """How well planes (..., 3) fit a camera held level above a level table; 1 is best."""
    sideways, down = normals[..., 0], normals[..., 1]
    level = np.exp(-0.5 * (sideways / ROLL_SINE) ** 2)
    upright = np.exp(-0.5 * (np.maximum(down, 0) / UPSIDE_DOWN_SINE) ** 2)
    overhead = np.abs(normals[..., 2]) > np.cos(np.radians(OVERHEAD_DEG))
    return np.asarray(level * upright * np.where(overhead, OVERHEAD_PREFERENCE, 1.0))


def _angles_deg(references: Floats, normals: Floats) -> Floats:
    """Angles (R, N, 2) between references (R, 3) and normals (N, 2, 3), degrees."""
    cosine = np.einsum("rk,nsk->rns", references, normals)
    return np.asarray(np.degrees(np.arccos(np.clip(cosine, -1, 1))))


def weighted_median(values: Floats, weights: Floats) -> float:
    """The value with half of the weight on either side, interpolated between neighbours."""
    order = np.argsort(values)
    values, weights = values[order], weights[order]
    middle = (np.cumsum(weights) - weights / 2) / weights.sum()
    return float(np.interp(0.5, middle, values))


def _error_deg(
    elevations: Floats, weights: Floats, errors_deg: list[float], used: NDArray[np.bool_]
) -> float:
    """Standard error of the joint elevation: what single rims allow, and how they scatter."""
    share = weights / weights.sum()
    single = float(share @ np.array(errors_deg)[used])
    scatter = float(np.sqrt(share @ (elevations - share @ elevations) ** 2))
    return float(np.hypot(single, scatter))
