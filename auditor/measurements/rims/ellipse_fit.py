"""Ellipses through points: direct least squares, many at once.

Inside this package an ellipse is five numbers ``(cx, cy, a, b, theta)``: centre, major and
minor semi-axis in pixels, x to the right and y downwards with the centre of pixel (row, column)
at (column + 0.5, row + 0.5), and the direction of the major axis in radians from +x towards +y.

The fit is that of Halir and Flusser, "Numerically stable direct least squares fitting of
ellipses", WSCG 1998, after Fitzgibbon, Pilu and Fisher (PAMI 1999): the algebraic distance is
minimised under 4AC - B^2 = 1, with the quadratic and the linear part of the scatter matrix
separated so that no singular matrix is ever inverted.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Added to the diagonal of the linear scatter block, relative to its size, so that points which
# coincide give a useless fit instead of an exception; far below the noise of any edge.
LINEAR_BLOCK_RIDGE = 1e-12


def fit_ellipses(points: Floats, weights: Floats | None = None) -> Floats:
    """Fit one ellipse to each set of points.

    Parameters
    ----------
    points : (..., N, 2) float array
        Positions x, y in pixels, N >= 5.
    weights : (..., N) float array, optional
        Not negative; 1 where left out.

    Returns
    -------
    (..., 5) float array
        ``(cx, cy, a, b, theta)``; NaN where the points lie on no ellipse.
    """
    weight = np.ones(points.shape[:-1]) if weights is None else weights
    total = weight.sum(axis=-1)[..., None]
    middle = (points * weight[..., None]).sum(axis=-2) / total
    centred = points - middle[..., None, :]
    spread = np.sqrt((weight * (centred**2).sum(axis=-1)).sum(axis=-1)[..., None] / total)
    scale = np.maximum(spread, np.finfo(float).tiny)
    conics = _fit_conics(centred / scale[..., None, :], weight)
    ellipses = ellipses_from_conics(conics)
    ellipses[..., :2] = ellipses[..., :2] * scale + middle
    ellipses[..., 2:4] *= scale
    return ellipses


def _fit_conics(points: Floats, weights: Floats) -> Floats:
    """Conics (..., 6) Ax^2 + Bxy + Cy^2 + Dx + Ey + F of centred and scaled points."""
    x, y = points[..., 0], points[..., 1]
    quadratic = np.stack([x * x, x * y, y * y], axis=-1)
    linear = np.stack([x, y, np.ones_like(x)], axis=-1)
    weighted_quadratic = np.swapaxes(quadratic * weights[..., None], -1, -2)
    s1 = weighted_quadratic @ quadratic
    s2 = weighted_quadratic @ linear
    s3 = np.swapaxes(linear * weights[..., None], -1, -2) @ linear
    size = np.trace(s3, axis1=-2, axis2=-1)[..., None, None]
    s3 = s3 + (LINEAR_BLOCK_RIDGE * size + np.finfo(float).tiny) * np.eye(3)
    to_linear = -np.linalg.solve(s3, np.swapaxes(s2, -1, -2))
    reduced = s1 + s2 @ to_linear
    # The inverse of the constraint matrix [[0, 0, 2], [0, -1, 0], [2, 0, 0]] applied by hand.
    reduced = np.stack(
        [reduced[..., 2, :] / 2, -reduced[..., 1, :], reduced[..., 0, :] / 2], axis=-2
    )
    vectors = np.real(np.linalg.eig(reduced)[1])
    condition = 4 * vectors[..., 0, :] * vectors[..., 2, :] - vectors[..., 1, :] ** 2
    best = np.argmax(condition, axis=-1)[..., None, None]
    a1 = np.take_along_axis(vectors, best, axis=-1)[..., 0]
    a2 = (to_linear @ a1[..., None])[..., 0]
    return np.concatenate([a1, a2], axis=-1)


def ellipses_from_conics(conics: Floats) -> Floats:
    """Centre, semi-axes and direction of conics (..., 6); NaN for those that are no ellipse."""
    a, b, c, d, e, f = np.moveaxis(conics, -1, 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        determinant = 4 * a * c - b * b
        cx = (b * e - 2 * c * d) / determinant
        cy = (b * d - 2 * a * e) / determinant
        constant = f + (d * cx + e * cy) / 2
        mean, half = (a + c) / 2, np.hypot((a - c) / 2, b / 2)
        sign = np.where(mean < 0, -1.0, 1.0)
        mean, constant = mean * sign, constant * sign
        major = np.sqrt(-constant / (mean - half))
        minor = np.sqrt(-constant / (mean + half))
        theta = 0.5 * np.arctan2(-b * sign, (c - a) * sign)
    ellipses = np.stack([cx, cy, major, minor, theta], axis=-1)
    ellipses[~np.isfinite(ellipses).all(axis=-1) | ~(determinant > 0)] = np.nan
    return ellipses


def distances_px(ellipses: Floats, points: Floats) -> Floats:
    """Distance of points from ellipses in pixels, to first order (Sampson), inside negative.

    Parameters
    ----------
    ellipses : (..., 5) float array
    points : (..., N, 2) float array

    Returns
    -------
    (..., N) float array
    """
    cx, cy, a, b, theta = np.moveaxis(ellipses[..., None, :], -1, 0)
    dx, dy = points[..., 0] - cx, points[..., 1] - cy
    u = (dx * np.cos(theta) + dy * np.sin(theta)) / a
    v = (dy * np.cos(theta) - dx * np.sin(theta)) / b
    value = u * u + v * v - 1
    slope = 2 * np.hypot(u / a, v / b)
    return np.asarray(value / np.maximum(slope, np.finfo(float).eps))


def outline(ellipses: Floats, n_points: int) -> tuple[Floats, Floats, Floats]:
    """Points at equal steps along the circumference of each ellipse.

    Parameters
    ----------
    ellipses : (..., 5) float array
    n_points : int

    Returns
    -------
    parameter : (..., n_points) float array
        Eccentric anomaly in radians.
    points, normals : (..., n_points, 2) float arrays
        Positions in pixels, and unit vectors that point outwards.
    """
    dense = np.linspace(0, 2 * np.pi, 2 * n_points + 1)
    a, b, theta = (ellipses[..., i, None] for i in (2, 3, 4))
    speed = np.hypot(a * np.sin(dense), b * np.cos(dense))
    length = np.concatenate(
        [np.zeros_like(a), np.cumsum((speed[..., 1:] + speed[..., :-1]) / 2, axis=-1)], axis=-1
    )
    length = length / length[..., -1:]
    at = (np.arange(n_points) + 0.5) / n_points
    flat = length.reshape(-1, length.shape[-1])
    parameter = np.array([np.interp(at, row, dense) for row in flat]).reshape(
        *length.shape[:-1], n_points
    )
    cosine, sine = np.cos(parameter), np.sin(parameter)
    points = _turned(a * cosine, b * sine, theta) + ellipses[..., None, :2]
    normals = _turned(b * cosine, a * sine, theta)
    return parameter, points, normals / np.linalg.norm(normals, axis=-1, keepdims=True)


def _turned(u: Floats, v: Floats, theta: Floats) -> Floats:
    """Vectors (u, v) turned by theta from +x towards +y."""
    cosine, sine = np.cos(theta), np.sin(theta)
    return np.stack([u * cosine - v * sine, u * sine + v * cosine], axis=-1)
