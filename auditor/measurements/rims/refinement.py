"""Refine ellipses to the edges near them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.rims.channels import Smoothed
from auditor.measurements.rims.edge_profile import measure_profile
from auditor.measurements.rims.ellipse_fit import distinct
from auditor.measurements.rims.evidence import Refined, describe

Floats = NDArray[np.float64]

# For each pass: points on the circumference at which the edge is measured, the reach to either side
# of the outline in px, and how many ellipses are kept. Only near rims are measured closely.
PASSES = ((48, 5, 12), (72, 3, 8), (144, 2, 6))
HOPELESS_SUPPORT = (0.27, 0.36, 0.45)  # an ellipse with less support after each pass is no rim
TUKEY_PX = 1.5  # a larger residual is another edge
TUKEY_REACH = 0.6  # of the reach: a wider limit for the early passes, while outlines are still off
START_LIMITS = 2.0  # multiple of the limit for the first fit, which has offsets, not residuals
N_REWEIGHTINGS = 4  # the weights settle after three
ON_EDGE_PX = 1.5  # a measured edge this near counts as support
MIN_EDGE_POINTS = 15  # three for each of the five parameters
MIN_SEMI_MINOR_PX = 1.0  # a thinner ellipse is a line
SAME_EDGE_OVERLAP = 0.02  # of the minor axis: outlines this near have converged on one edge
RIDGE = 1e-6  # keeps the undefined direction of a circle from diverging


def refine(ellipses: Floats, picture: Smoothed) -> list[Refined]:
    """Fit ellipses to the edges near them; ellipses with too little edge are dropped.

    Parameters
    ----------
    ellipses : (K, 5) float array
        In pixels of the picture.
    picture : (3, H, W) uint16 array
        Smoothed values.
    """
    for (n_outline, reach, most), hopeless in zip(PASSES, HOPELESS_SUPPORT, strict=True):
        if not len(ellipses):
            return []
        profile = measure_profile(ellipses, picture, n_outline, reach)
        jacobian = _jacobian(ellipses, profile.parameter, profile.normals)
        change = _robust_step(jacobian, profile.offset, profile.is_edge, reach)
        residual = profile.offset - (jacobian @ change[:, :, None])[..., 0]
        on_edge = profile.is_edge & (np.abs(residual) < max(ON_EDGE_PX, TUKEY_REACH * reach))
        ellipses = _major_axis_first(ellipses + change)
        n_on_edge = on_edge.sum(axis=1)
        support = n_on_edge / np.maximum(profile.framed.sum(axis=1), 1)
        sound = np.nonzero(
            np.isfinite(ellipses).all(axis=1)
            & (ellipses[:, 3] >= MIN_SEMI_MINOR_PX)
            & (n_on_edge >= MIN_EDGE_POINTS)
            & (support >= hopeless)
        )[0]
        merit = support[sound] * np.sqrt(ellipses[sound, 2] * profile.framed[sound].mean(axis=1))
        sound = sound[np.argsort(-merit, kind="stable")]
        sound = sound[distinct(ellipses[sound], SAME_EDGE_OVERLAP, most)]
        ellipses = ellipses[sound]
    if not len(ellipses):
        return []
    return describe(ellipses, jacobian[sound], residual[sound], on_edge[sound], profile.of(sound))


def _jacobian(ellipses: Floats, parameter: Floats, normals: Floats) -> Floats:
    """Derivative (K, N, 5) of outlines along their normals by each of the five parameters."""
    a, b, theta = (ellipses[:, i, None] for i in (2, 3, 4))
    cosine, sine = np.cos(theta), np.sin(theta)
    u = normals[..., 0] * cosine + normals[..., 1] * sine
    v = normals[..., 1] * cosine - normals[..., 0] * sine
    x, y = np.cos(parameter), np.sin(parameter)
    return np.stack(
        [normals[..., 0], normals[..., 1], u * x, v * y, v * a * x - u * b * y], axis=-1
    )


def _robust_step(
    jacobian: Floats, offset: Floats, is_edge: NDArray[np.bool_], reach: int
) -> Floats:
    """Changes (K, 5) of the parameters by least squares with Tukey's biweight on residuals."""
    limit = max(TUKEY_PX, TUKEY_REACH * reach)
    size = np.sqrt((jacobian**2).mean(axis=1))
    scaled = jacobian / size[:, None]
    transposed = np.swapaxes(scaled, 1, 2)
    residual, bound = offset, START_LIMITS * limit
    change = np.zeros_like(size)
    for _ in range(N_REWEIGHTINGS):
        current = is_edge * (1 - np.minimum(np.abs(residual) / bound, 1) ** 2) ** 2
        ridge = RIDGE * np.maximum(current.sum(axis=1), 1.0)[:, None, None] * np.eye(size.shape[1])
        normal = transposed @ (scaled * current[..., None]) + ridge
        moment = transposed @ (current * offset)[..., None]
        step = np.linalg.solve(normal, moment)
        change, residual, bound = step[..., 0] / size, offset - (scaled @ step)[..., 0], limit
    return np.asarray(change)


def _major_axis_first(ellipses: Floats) -> Floats:
    """The same ellipses with the major axis first."""
    cx, cy, a, b, theta = ellipses.T
    turned = np.where(b > a, theta + np.pi / 2, theta)
    return np.stack(
        [cx, cy, np.maximum(a, b), np.minimum(a, b), np.arctan2(np.sin(turned), np.cos(turned))],
        axis=1,
    )
