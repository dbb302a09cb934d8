"""An ellipse drawn onto the edge itself, at the full resolution of the working picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates

from auditor.measurements.rims.edges import Channels
from auditor.measurements.rims.ellipse_fit import outline

Floats = NDArray[np.float64]

N_OUTLINE = 180  # points on the circumference where the edge is measured
SEARCH_PX = (5, 4, 3, 2)  # reach to either side of the outline, pass by pass
PRIOR_WIDTH = 0.6  # of the reach: an edge near the outline is preferred to a stronger one far off
EDGE_LEVELS_PER_PX = 1.5  # the faintest edge counted, levels of 255 after smoothing
ALIGNED_TANGENT = np.tan(np.radians(22))  # change along the outline over change across it
TUKEY_PX = 1.5  # residuals beyond this are another edge
TUKEY_REACH = 0.6  # while the outline is still off, residuals count up to this share of the reach
START_LIMITS = 2.0  # before the first fit there are no residuals yet, only offsets
N_REWEIGHTINGS = 4  # the weights settle after three
ON_EDGE_PX = 1.5  # a measured edge this near counts as support
CORRELATED_POINTS = 4.0  # neighbouring points share blur and the same dent in the rim
MIN_EDGE_POINTS = 15  # three for each of the five numbers
LEAST_SEMI_MINOR_PX = 1.0  # thinner than a line
LEAST_SPREAD_PX = 0.1  # drawn edges fit better than any lens and grid of pixels allow
RUN_POINTS = 12  # a fifteenth of the circumference: an accidental touch is shorter
STEP_POINTS = 4  # beyond the blur that makes neighbours alike
END_COSINE = np.cos(np.radians(30))  # what counts as an end of the major axis
RIDGE = 1e-6  # keeps the direction of a circle, which has none, from running away


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
    contrast : float
        Median change across the edge, levels of 255 per pixel.
    residual_px : float
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


def refine(ellipse: Floats, channels: Channels) -> Refined | None:
    """Fit an ellipse to the edge near it; None where there is too little edge.

    Parameters
    ----------
    ellipse : (5,) float array
        In pixels of `channels`.
    channels : (3, H, W) float array
        Smoothed lightness and colour, levels of 255.
    """
    for reach in SEARCH_PX:
        parameter, points, normals = outline(ellipse, N_OUTLINE)
        offset, across, is_edge, framed = _edge_offsets(channels, points, normals, reach)
        if is_edge.sum() < MIN_EDGE_POINTS:
            return None
        jacobian = _jacobian(ellipse, parameter, normals)
        weight = np.where(is_edge, 1.0, 0.0)
        change = _robust_step(jacobian, offset, weight, reach)
        ellipse = _valid(ellipse + change)
        if not np.isfinite(ellipse).all() or ellipse[3] < LEAST_SEMI_MINOR_PX:
            return None
    residual = offset - jacobian @ change
    on_edge = is_edge & (np.abs(residual) < ON_EDGE_PX)
    if on_edge.sum() < MIN_EDGE_POINTS:
        return None
    spread = float(np.sqrt(np.mean(residual[on_edge] ** 2)))
    return Refined(
        ellipse,
        float(on_edge.sum() / max(int(framed.sum()), 1)),
        float(framed.mean()),
        1 - _longest_gap(on_edge) / N_OUTLINE,
        _axis_ratio_error(ellipse, jacobian[on_edge], max(spread, LEAST_SPREAD_PX)),
        *_evidence(parameter, on_edge, framed),
        _continuity(across, on_edge),
        (points + offset[:, None] * normals)[on_edge],
    )


def _edge_offsets(
    channels: Channels, points: Floats, normals: Floats, reach: int
) -> tuple[Floats, Floats, NDArray[np.bool_], NDArray[np.bool_]]:
    """Where along each normal the picture changes most.

    Returns the offset in pixels, the change (3, N) there, whether it is an edge that runs along
    the outline, and whether the point lies in the frame.
    """
    steps = np.arange(-reach - 1, reach + 2)
    places = points[:, None, :] + steps[None, :, None] * normals[:, None, :]
    profile = _sampled(channels, places)
    across = (profile[:, :, 2:] - profile[:, :, :-2]) / 2
    strength = np.sqrt((across**2).sum(axis=0))
    prior = np.exp(-0.5 * (steps[1:-1] / (PRIOR_WIDTH * reach)) ** 2)
    inner = (strength * prior)[:, 1:-1]
    best = inner.argmax(axis=1) + 1
    rows = np.arange(len(points))
    before, here, after = (strength[rows, best + i] for i in (-1, 0, 1))
    bend = before + after - 2 * here
    shift = np.where(bend < 0, (before - after) / np.where(bend < 0, 2 * bend, 1.0), 0.0)
    offset = steps[1:-1][best] + np.clip(shift, -0.5, 0.5)
    tangents = np.stack([-normals[:, 1], normals[:, 0]], axis=-1)
    at = points + offset[:, None] * normals
    sides = _sampled(channels, np.stack([at - tangents, at + tangents], axis=1))
    along = np.sqrt((((sides[:, :, 1] - sides[:, :, 0]) / 2) ** 2).sum(axis=0))
    height, width = channels.shape[1:]
    framed = np.asarray(((places > 1) & (places < (width - 1, height - 1))).all(axis=(1, 2)))
    is_edge = framed & (here > EDGE_LEVELS_PER_PX) & (along < ALIGNED_TANGENT * here) & (bend < 0)
    return offset, across[:, rows, best], is_edge, framed


def _sampled(channels: Channels, places: Floats) -> Floats:
    """Channel values (3, ...) at positions (..., 2) in pixels."""
    at = [places[..., 1] - 0.5, places[..., 0] - 0.5]
    return np.stack([map_coordinates(c, at, order=1, mode="nearest") for c in channels])


def _jacobian(ellipse: Floats, parameter: Floats, normals: Floats) -> Floats:
    """Movement of the outline along its normals with each of the five numbers."""
    a, b, theta = ellipse[2:]
    cosine, sine = np.cos(theta), np.sin(theta)
    u = normals[:, 0] * cosine + normals[:, 1] * sine
    v = normals[:, 1] * cosine - normals[:, 0] * sine
    x, y = np.cos(parameter), np.sin(parameter)
    return np.stack([normals[:, 0], normals[:, 1], u * x, v * y, v * a * x - u * b * y], axis=-1)


def _robust_step(jacobian: Floats, offset: Floats, weight: Floats, reach: int) -> Floats:
    """Change of the five numbers by least squares with Tukey's biweight on the residuals."""
    limit = max(TUKEY_PX, TUKEY_REACH * reach)
    change = np.zeros(jacobian.shape[1])
    size = np.sqrt((jacobian**2).mean(axis=0))
    scaled = jacobian / size
    residual, bound = offset, START_LIMITS * limit
    for _ in range(N_REWEIGHTINGS):
        current = weight * (1 - np.minimum(np.abs(residual) / bound, 1) ** 2) ** 2
        ridge = RIDGE * max(float(current.sum()), 1.0) * np.eye(len(change))
        normal = scaled.T @ (scaled * current[:, None]) + ridge
        change = np.linalg.solve(normal, scaled.T @ (current * offset)) / size
        residual, bound = offset - jacobian @ change, limit
    return change


def _valid(ellipse: Floats) -> Floats:
    """The same ellipse with the major axis first."""
    cx, cy, a, b, theta = ellipse
    if b > a:
        a, b, theta = b, a, theta + np.pi / 2
    return np.array([cx, cy, a, b, np.arctan2(np.sin(theta), np.cos(theta))])


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
    runs = _run_lengths(solid) >= RUN_POINTS
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


def _continuity(across: Floats, on_edge: NDArray[np.bool_]) -> float:
    """Mean cosine between the changes (3, N) across the edge at points `STEP_POINTS` apart."""
    unit = across / np.maximum(np.linalg.norm(across, axis=0), np.finfo(float).eps)
    alike = (unit * np.roll(unit, -STEP_POINTS, axis=1)).sum(axis=0)
    both = on_edge & np.roll(on_edge, -STEP_POINTS)
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
