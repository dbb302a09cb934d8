"""What speaks for an ellipse: how much of its outline lies on an edge, and on what edge."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.rims.edge_profile import EdgeProfile
from auditor.measurements.rims.edges import Channels

Floats = NDArray[np.float64]

CORRELATED_POINTS = 4.0  # neighbouring points share blur and the same dent in the rim
LEAST_SPREAD_PX = 0.1  # drawn edges fit better than any lens and grid of pixels allow
RUN_FRACTION = 1 / 15  # of the circumference: an accidental touch is shorter
STEP_FRACTION = 1 / 45  # of the circumference: beyond the blur that makes neighbours alike
END_COSINE = np.cos(np.radians(30))  # what counts as an end of the major axis


@dataclass(frozen=True, slots=True)
class Refined:
    """An ellipse on its edge.

    Attributes
    ----------
    ellipse : (5,) float array
    support : float
        Share of the circumference in the frame that lies on an edge, in [0, 1].
    seen : float
        Share of the circumference that lies in the frame, in [0, 1].
    span : float
        Share of the circumference left when its longest gap without edge is taken out.
    axis_ratio_error : float
        Standard error of minor over major axis.
    run_support : float
        As `support`, but only of stretches longer than `RUN_POINTS`.
    turn_support : float
        As `support`, by eccentric anomaly in place of length, so that the ends of a flat
        ellipse count as much as its long sides.
    end_support : float
        The lesser of the shares on edge about the two ends of the major axis, in the frame.
    continuity : float
        How alike the change across the edge is, in sign and colour, a few points further along
        the edge, in [-1, 1].
    edge_points : (M, 2) float array
        Where the edge was found, in pixels.
    """

    ellipse: Floats
    support: float
    seen: float
    span: float
    axis_ratio_error: float
    run_support: float
    turn_support: float
    end_support: float
    continuity: float
    edge_points: Floats


def describe(
    ellipse: Floats,
    jacobian: Floats,
    residual: Floats,
    on_edge: NDArray[np.bool_],
    profile: EdgeProfile,
) -> Refined:
    """Gather what speaks for one ellipse whose outline was measured."""
    spread = float(np.sqrt(np.mean(residual[on_edge] ** 2)))
    framed = profile.framed
    return Refined(
        ellipse,
        float(on_edge.sum() / max(int(framed.sum()), 1)),
        float(framed.mean()),
        1 - _longest_gap(on_edge) / on_edge.size,
        _axis_ratio_error(ellipse, jacobian[on_edge], max(spread, LEAST_SPREAD_PX)),
        *_evidence(profile.parameter, on_edge, framed),
        _continuity(profile.across, on_edge),
        profile.edge_points[on_edge],
    )


def _longest_gap(on_edge: NDArray[np.bool_]) -> int:
    """Longest run without edge around the outline, in points."""
    places = np.nonzero(on_edge)[0]
    following = np.append(places[1:], places[0] + on_edge.size)
    return int((following - places - 1).max())


def _evidence(
    parameter: Floats, on_edge: NDArray[np.bool_], framed: NDArray[np.bool_]
) -> tuple[float, float, float]:
    """Support by long runs, by eccentric anomaly, and of the weaker end of the major axis."""
    tail = np.roll(on_edge, 1) & np.roll(on_edge, -1)
    solid = on_edge | tail
    runs = _run_lengths(solid) >= RUN_FRACTION * solid.size
    step = np.diff(np.append(parameter, parameter[0] + 2 * np.pi))
    ends = [np.cos(parameter - end) > END_COSINE for end in (0.0, np.pi)]
    shares = [
        float((on_edge & end).sum() / (framed & end).sum()) for end in ends if (framed & end).any()
    ]
    return (
        float((runs & on_edge).sum() / max(int(framed.sum()), 1)),
        float(step[on_edge].sum() / max(float(step[framed].sum()), 1e-9)),
        min(shares, default=0.0),
    )


def _run_lengths(solid: NDArray[np.bool_]) -> NDArray[np.intp]:
    """For each point the length of the unbroken run around the outline that it belongs to."""
    n = solid.size
    if solid.all():
        return np.full(n, n, dtype=np.intp)
    start = int(np.nonzero(~solid)[0][0])
    turned = np.roll(solid, -start)
    label = np.cumsum(~turned)
    length = np.bincount(label, weights=turned, minlength=n + 1)
    return np.asarray(np.roll(np.where(turned, length[label], 0), start), dtype=np.intp)


def _continuity(across: Channels, on_edge: NDArray[np.bool_]) -> float:
    """Mean cosine between the changes (N, 3) across the edge at points a few steps apart."""
    unit = across / np.maximum(np.linalg.norm(across, axis=1, keepdims=True), np.finfo(float).eps)
    step = round(STEP_FRACTION * on_edge.size)
    alike = (unit * np.roll(unit, -step, axis=0)).sum(axis=1)
    both = on_edge & np.roll(on_edge, -step)
    return float(alike[both].mean()) if both.any() else 0.0


def _axis_ratio_error(ellipse: Floats, jacobian: Floats, spread_px: float) -> float:
    """Standard error of b / a by propagation of the residuals through the fit."""
    size = np.sqrt((jacobian**2).mean(axis=0)) + np.finfo(float).eps
    scaled = jacobian / size
    inverse = np.linalg.pinv(scaled.T @ scaled, rcond=1e-9, hermitian=True)
    covariance = CORRELATED_POINTS * spread_px**2 * inverse / np.outer(size, size)
    _, _, a, b, _ = ellipse
    slope = np.array([-b / a**2, 1 / a])
    return float(np.sqrt(max(slope @ covariance[2:4, 2:4] @ slope, 0)))
