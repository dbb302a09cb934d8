"""Evidence for an ellipse: how much of its outline lies on an edge, and on what kind of edge."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.rims.channels import Channels
from auditor.measurements.rims.edge_profile import EdgeProfile

Floats = NDArray[np.float64]

CORRELATED_POINTS = 4.0  # neighbouring points share blur and the same dent in the rim
MIN_SPREAD_PX = 0.1  # drawn edges fit better than lenses and pixel grids allow
RUN_FRACTION = 1 / 15  # of the circumference: accidental contact is shorter
STEP_FRACTION = 1 / 45  # of the circumference: beyond the blur that makes neighbours alike
END_COSINE = np.cos(np.radians(30))  # within this angle of the major axis is an end


@dataclass(frozen=True, slots=True)
class Refined:
    """An ellipse refined to its edge, with the evidence for it.

    Attributes
    ----------
    ellipse : (5,) float array
    support : float
        Share of the circumference in the frame that lies on an edge, in [0, 1].
    seen : float
        Share of the circumference that lies in the frame, in [0, 1].
    span : float
        Share of the circumference without its longest gap in the edge.
    axis_ratio_error : float
        Standard error of minor over major axis.
    run_support : float
        Like `support`, but only of stretches longer than `RUN_FRACTION`.
    turn_support : float
        Like `support`, by eccentric anomaly instead of length, so that the ends of a flat ellipse
        count as much as its long sides.
    end_support : float
        The smaller of the shares on an edge around the two ends of the major axis, in the frame.
    continuity : float
        Similarity of the change across the edge, in sign and colour, to that a few points further
        along the edge, in [-1, 1].
    edge_points : (M, 2) float array
        Positions of the edge, in pixels.
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
    ellipses: Floats,
    jacobian: Floats,
    residual: Floats,
    on_edge: NDArray[np.bool_],
    profile: EdgeProfile,
) -> list[Refined]:
    """Compute the evidence for K ellipses.

    Parameters
    ----------
    ellipses : (K, 5) float array
        In pixels.
    jacobian : (K, N, 5) float array
        Movement of the N outline points along their normals by each parameter.
    residual : (K, N) float array
        Distance of the edge from the outline, in pixels.
    on_edge : (K, N) bool array
        True if the point lies on an edge.
    profile : EdgeProfile
        Of the same outlines.
    """
    n_on_edge = np.maximum(on_edge.sum(axis=1), 1)
    framed = profile.framed
    n_framed = np.maximum(framed.sum(axis=1), 1)
    spread = np.sqrt((on_edge * residual**2).sum(axis=1) / n_on_edge)
    support = on_edge.sum(axis=1) / n_framed
    seen = framed.mean(axis=1)
    span = 1 - steps_since(on_edge).max(axis=1) / on_edge.shape[1]
    error = _axis_ratio_error(ellipses, jacobian, on_edge, np.maximum(spread, MIN_SPREAD_PX))
    run_support = (_in_long_runs(on_edge) & on_edge).sum(axis=1) / n_framed
    turn_support = _share_of_turn(profile.parameter, on_edge, framed)
    end_support = _weaker_end(profile.parameter, on_edge, framed)
    continuity = _continuity(profile.across, on_edge)
    return [
        Refined(
            ellipse=ellipses[k],
            support=float(support[k]),
            seen=float(seen[k]),
            span=float(span[k]),
            axis_ratio_error=float(error[k]),
            run_support=float(run_support[k]),
            turn_support=float(turn_support[k]),
            end_support=float(end_support[k]),
            continuity=float(continuity[k]),
            edge_points=profile.edge_points[k][on_edge[k]],
        )
        for k in range(len(ellipses))
    ]


def steps_since(flags: NDArray[np.bool_]) -> NDArray[np.intp]:
    """Points since a flag was last set, around each outline (K, N); N if none is set."""
    n = flags.shape[1]
    place = np.arange(2 * n)
    last = np.maximum.accumulate(np.where(np.tile(flags, 2), place, -n), axis=1)
    return np.asarray(np.minimum(place - last, n)[:, n:])


def _in_long_runs(on_edge: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Mask of the points in long stretches of edge; a single missing point does not end one."""
    solid = on_edge | (np.roll(on_edge, 1, axis=1) & np.roll(on_edge, -1, axis=1))
    length = steps_since(~solid) + steps_since(~solid[:, ::-1])[:, ::-1] - 1
    return np.asarray(length >= RUN_FRACTION * solid.shape[1])


def _share_of_turn(
    parameter: Floats, on_edge: NDArray[np.bool_], framed: NDArray[np.bool_]
) -> Floats:
    """Support by eccentric anomaly."""
    step = (np.roll(parameter, -1, axis=1) - np.roll(parameter, 1, axis=1)) % (2 * np.pi)
    return np.asarray((step * on_edge).sum(axis=1) / np.maximum((step * framed).sum(axis=1), 1e-9))


def _weaker_end(parameter: Floats, on_edge: NDArray[np.bool_], framed: NDArray[np.bool_]) -> Floats:
    """Support of the weaker end of the major axis, of those in the frame; 0 if none is there."""
    shares = []
    for side in (1.0, -1.0):
        end = framed & (side * np.cos(parameter) > END_COSINE)
        total = end.sum(axis=1)
        shares.append(np.where(total > 0, (on_edge & end).sum(axis=1) / np.maximum(total, 1), 2.0))
    weaker = np.minimum(*shares)
    return np.where(weaker > 1, 0.0, weaker)


def _continuity(across: Channels, on_edge: NDArray[np.bool_]) -> Floats:
    """Mean cosine between the changes (3, K, N) across the edge at points a few steps apart."""
    size = np.sqrt((across * across).sum(axis=0))
    unit = across / np.maximum(size, np.finfo(np.float32).eps)
    step = round(STEP_FRACTION * on_edge.shape[1])
    alike = (unit * np.roll(unit, -step, axis=2)).sum(axis=0)
    both = on_edge & np.roll(on_edge, -step, axis=1)
    return np.asarray((alike * both).sum(axis=1) / np.maximum(both.sum(axis=1), 1), dtype=float)


def _axis_ratio_error(
    ellipses: Floats, jacobian: Floats, on_edge: NDArray[np.bool_], spread_px: Floats
) -> Floats:
    """Standard error of b / a by propagation of the residuals through the fit."""
    used = jacobian * on_edge[..., None]
    size = np.sqrt((used**2).sum(axis=1) / on_edge.sum(axis=1)[:, None]) + np.finfo(float).eps
    scaled = used / size[:, None]
    inverse = np.linalg.pinv(np.swapaxes(scaled, 1, 2) @ scaled, rcond=1e-9, hermitian=True)
    _, _, a, b, _ = ellipses.T
    slope = np.stack([-b / a**2, 1 / a], axis=-1) / size[:, 2:4]
    variance = np.einsum("ki,kij,kj->k", slope, inverse[:, 2:4, 2:4], slope)
    return np.asarray(spread_px * np.sqrt(CORRELATED_POINTS * np.maximum(variance, 0.0)))
