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

from functools import cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Added to the diagonal of the linear scatter block, relative to its size, so that coinciding points
# give a useless fit instead of an exception; far below the noise of any edge.
LINEAR_BLOCK_RIDGE = 1e-12
# Exponents of x and y, and the indices of the products of x^2, xy, y^2 and of x, y, 1 among them.
POWERS = [(i, j) for i in range(5) for j in range(5 - i)]
QUADRATIC_TERMS, LINEAR_TERMS = ((2, 0), (1, 1), (0, 2)), ((1, 0), (0, 1), (0, 0))
QUADRATIC, MIXED, LINEAR = (
    np.array([[POWERS.index((p[0] + q[0], p[1] + q[1])) for q in columns] for p in rows])
    for rows, columns in (
        (QUADRATIC_TERMS, QUADRATIC_TERMS),
        (QUADRATIC_TERMS, LINEAR_TERMS),
        (LINEAR_TERMS, LINEAR_TERMS),
    )
)
N_COMPARED = 12  # points of an outline whose distance to another outline is compared
N_RATIOS = 129  # axis ratios for which equal steps are tabulated; interpolated between


def fit_ellipses(points: Floats, weights: Floats | None = None) -> Floats:
    """Fit one ellipse to each set of points.

    Parameters
    ----------
    points : (..., N, 2) float array
        Positions x, y in pixels, N >= 5.
    weights : (..., N) float array, optional
        Not negative; 1 by default.

    Returns
    -------
    (..., 5) float array
        ``(cx, cy, a, b, theta)``; NaN if the points lie on no ellipse.
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
    moments = _moments(points, weights)
    s1, s2, s3 = (moments[..., table] for table in (QUADRATIC, MIXED, LINEAR))
    size = np.trace(s3, axis1=-2, axis2=-1)[..., None, None]
    s3 = s3 + (LINEAR_BLOCK_RIDGE * size + np.finfo(float).tiny) * np.eye(3)
    to_linear = -np.linalg.solve(s3, np.swapaxes(s2, -1, -2))
    reduced = s1 + s2 @ to_linear
    # The inverse of the constraint matrix [[0, 0, 2], [0, -1, 0], [2, 0, 0]] applied by hand.
    reduced = np.stack(
        [reduced[..., 2, :] / 2, -reduced[..., 1, :], reduced[..., 0, :] / 2], axis=-2
    )
    a1 = _leading_vectors(reduced)
    a2 = (to_linear @ a1[..., None])[..., 0]
    return np.concatenate([a1, a2], axis=-1)


def _moments(points: Floats, weights: Floats) -> Floats:
    """Weighted sums (..., 15) of x^i y^j, i + j <= 4, in the order of `POWERS`."""
    x, y = points[..., 0], points[..., 1]
    by_x, by_y = [weights], [np.ones_like(y)]
    for _ in range(4):
        by_x.append(by_x[-1] * x)
        by_y.append(by_y[-1] * y)
    return np.stack([(by_x[i] * by_y[j]).sum(axis=-1) for i, j in POWERS], axis=-1)


def _leading_vectors(matrices: Floats) -> Floats:
    """Vectors (..., 3) of the largest eigenvalue of (..., 3, 3) matrices with real eigenvalues.

    The scatter is positive definite and the constraint has one positive direction, so the product
    with its inverse has exactly one positive eigenvalue: that of the ellipse. It is the largest
    root of the characteristic polynomial, found by the trigonometric formula for cubics; the
    vector is perpendicular to two rows of the matrix minus that eigenvalue.
    """
    mean = np.trace(matrices, axis1=-2, axis2=-1) / 3
    centred = matrices - mean[..., None, None] * np.eye(3)
    spread = np.einsum("...ij,...ji->...", centred, centred) / 6
    root = np.sqrt(np.maximum(spread, np.finfo(float).tiny))
    half = np.linalg.det(centred / root[..., None, None]) / 2
    largest = 2 * root * np.cos(np.arccos(np.clip(half, -1, 1)) / 3)
    rest = centred - largest[..., None, None] * np.eye(3)
    size = np.sqrt((rest**2).sum(axis=-1, keepdims=True))
    rest = rest / np.maximum(size, np.finfo(float).tiny)
    across = np.cross(rest, rest[..., [1, 2, 0], :])
    longest = (across**2).sum(axis=-1).argmax(axis=-1)[..., None, None]
    return np.take_along_axis(across, longest, axis=-2)[..., 0, :]


def ellipses_from_conics(conics: Floats) -> Floats:
    """Centre, semi-axes and direction of conics (..., 6); NaN for conics that are no ellipse."""
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
    """Distance of points from ellipses in pixels, to first order (Sampson); negative inside.

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
    a, b, theta = (ellipses[..., i, None] for i in (2, 3, 4))
    table = _even_steps(n_points)
    ratio = ellipses[..., 3] / ellipses[..., 2]
    # `fmax` takes 0 in place of NaN.
    place = np.minimum(np.fmax(ratio, 0), 1) * (N_RATIOS - 1)
    lower = np.minimum(place.astype(np.intp), N_RATIOS - 2)
    parameter = table[lower]
    parameter = parameter + (place - lower)[..., None] * (table[lower + 1] - parameter)
    cosine, sine = np.cos(parameter), np.sin(parameter)
    turn = np.cos(theta), np.sin(theta)
    points = _turned(a * cosine, b * sine, turn)
    points += ellipses[..., None, :2]
    normals = _turned(b * cosine, a * sine, turn)
    x, y = normals[..., 0], normals[..., 1]
    normals /= np.sqrt(x * x + y * y)[..., None]
    return parameter, points, normals


@cache
def _even_steps(n_points: int) -> Floats:
    """Eccentric anomalies (`N_RATIOS`, n_points) at equal steps along ellipses, by axis ratio."""
    dense = np.linspace(0, 2 * np.pi, 8 * n_points + 1)
    ratio = np.linspace(0, 1, N_RATIOS)[:, None]
    speed = np.hypot(np.sin(dense), ratio * np.cos(dense))
    length = np.cumsum((speed[:, 1:] + speed[:, :-1]) / 2, axis=1)
    length = np.concatenate([np.zeros_like(ratio), length], axis=1)
    at = (np.arange(n_points) + 0.5) / n_points
    return np.array([np.interp(at, row / row[-1], dense) for row in length])


def _turned(u: Floats, v: Floats, turn: tuple[Floats, Floats]) -> Floats:
    """Vectors (u, v) turned by an angle, given by its cosine and sine, from +x towards +y."""
    cosine, sine = turn
    turned = np.empty((*u.shape, 2))
    turned[..., 0] = u * cosine - v * sine
    turned[..., 1] = u * sine + v * cosine
    return turned


def distinct(ellipses: Floats, overlap: float, limit: int) -> NDArray[np.intp]:
    """The first `limit` ellipses (K, 5) that differ from all before them.

    Parameters
    ----------
    ellipses : (K, 5) float array
        Best first.
    overlap : float
        Outlines nearer than this share of the minor semi-axis of the better one are the same.
    limit : int

    Returns
    -------
    (L,) int array
        Their indices.
    """
    if not len(ellipses):
        return np.zeros(0, dtype=np.intp)
    same = separations(ellipses, ellipses) < overlap
    left = np.ones(len(ellipses), dtype=np.bool_)
    kept: list[int] = []
    while left.any() and len(kept) < limit:
        kept.append(int(left.argmax()))
        left &= ~same[kept[-1]]
        left[kept[-1]] = False
    return np.array(kept, dtype=np.intp)


def separations(references: Floats, ellipses: Floats) -> Floats:
    """Greatest distance (R, K) of outlines from R references, in minor semi-axes of these."""
    _, points, _ = outline(ellipses, N_COMPARED)
    distance = np.abs(distances_px(references[:, None], points[None])).max(axis=-1)
    return np.asarray(distance / references[:, 3, None])
