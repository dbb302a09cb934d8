"""Ellipses through arcs and pairs of arcs, and those that edges support best."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.rims.arcs import Arcs
from auditor.measurements.rims.edges import Edges
from auditor.measurements.rims.ellipse_fit import distances_px, distinct, fit_ellipses, outline
from auditor.measurements.rims.evidence import steps_since
from auditor.measurements.rims.levelness import is_level

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

MAX_PAIRS = 300  # the longest pairs of those that agree
MAX_FIT_ERROR_PX = 1.2  # root mean square distance of an arc from its ellipse
CONVEX_SLACK_PX = 2.5  # by which one arc may lie on the outer side of another's tangent
MIN_SEMI_MAJOR_FRACTION = 0.045  # of the diagonal: smaller ones are coins and garnish
MAX_SEMI_MAJOR_FRACTION = 0.62  # of larger ones too little is in the frame
MAX_CENTRE_OFFSET = 0.75  # of the frame's side from its middle: the centre may lie outside
MIN_AXIS_RATIO = 0.045  # sin of 2.6 degrees: a flatter rim looks like a straight edge
MIN_SEMI_MINOR_PX = 3.0  # the two long sides of a rim must be separate edges
N_SCORED = 48  # hypotheses that rank best by a coarse score
N_COARSE = 40  # points on the circumference for the coarse score
N_OUTLINE = 64  # points on the circumference at which an edge is looked for
REACH_PX = 2  # an edge point within this many pixels supports the ellipse
ALIGNED_COSINE = np.cos(np.radians(17))  # if its direction agrees with the normal this well
MIN_SUPPORT = 0.28  # share of the circumference before refinement
MIN_SPAN = 0.33  # share of the circumference between the ends of the supported part
N_REFITTED = 16  # hypotheses that are fitted again to all edges near them
N_KEPT = 12  # candidates that are refined
SAME_OVERLAP = 0.06  # outlines nearer than this share of the minor axis are one candidate


def find_candidates(edges: Edges, arcs: Arcs) -> Floats:
    """The ellipses (K, 5) through arcs, best first, in pixels of `edges`."""
    on_arc = np.concatenate([np.zeros(0, dtype=np.intp), *arcs.members])
    return best_supported(_hypotheses(arcs), edges, on_arc)


def best_supported(
    ellipses: Floats, edges: Edges, used: Indices, least_support: float = MIN_SUPPORT
) -> Floats:
    """Select the ellipses that are best supported by edges, and refit them.

    Parameters
    ----------
    ellipses : (N, 5) float array
        In pixels of `edges`.
    edges : Edges
    used : (M,) int array
        Indices of the edge points that count.
    least_support : float
        Share of the circumference that must lie on edges.

    Returns
    -------
    (K, 5) float array
        At most `N_KEPT`, best first.
    """
    ellipses = ellipses[_plausible(ellipses, edges.shape)]
    if not len(ellipses) or not len(used):
        return ellipses[:0]
    near = _edges_nearby(edges, used)
    first = np.argsort(-_quick_scores(ellipses, edges, near))[:N_SCORED]
    ellipses = ellipses[first]
    score, support = _scores(ellipses, edges, near)
    # Fitted to all edges that lie on it, each becomes more exact.
    order = np.argsort(-score, kind="stable")
    ellipses = ellipses[order][support[order] > MIN_SUPPORT / 2]
    ellipses = ellipses[distinct(ellipses, SAME_OVERLAP, N_REFITTED)]
    if not len(ellipses):
        return ellipses
    refitted = _refitted(ellipses, edges, near)
    ellipses = np.concatenate([ellipses, refitted[_plausible(refitted, edges.shape)]])
    score, support = _scores(ellipses, edges, near)
    order = np.argsort(-score, kind="stable")
    ellipses = ellipses[order[support[order] > least_support]]
    return ellipses[distinct(ellipses, SAME_OVERLAP, N_KEPT)]


def _hypotheses(arcs: Arcs) -> Floats:
    """Ellipses through one arc or two compatible arcs."""
    samples, length = arcs.samples, arcs.n_points.astype(float)
    if not len(samples):
        return np.zeros((0, 5))
    first, second = _compatible_pairs(samples, arcs.inward, length)
    points = np.concatenate([samples[first], samples[second]], axis=1)
    weights = np.repeat(np.stack([length[first], length[second]], axis=1), samples.shape[1], axis=1)
    pairs = _well_fitted(points, weights)
    single = _well_fitted(samples, np.ones(samples.shape[:2]))
    return np.concatenate([single, pairs])


def _compatible_pairs(samples: Floats, inward: Floats, length: Floats) -> tuple[Indices, Indices]:
    """Pairs of arcs each of which lies on the side to which the other bends."""
    some = [0, samples.shape[1] // 2, samples.shape[1] - 1]
    at, normal = samples[:, some], inward[:, some]
    # side[i, j, p, q]: how far point q of arc j lies inwards of the tangent at point p of arc i
    own = np.einsum("ipd,ipd->ip", at, normal)[:, None, :, None]
    side = np.einsum("jqd,ipd->ijpq", at, normal) - own
    inside = (side > -CONVEX_SLACK_PX).all(axis=(2, 3))
    first, second = np.nonzero(np.triu(inside & inside.T, k=1))
    order = np.argsort(-(length[first] + length[second]))[:MAX_PAIRS]
    return first[order], second[order]


def _well_fitted(points: Floats, weights: Floats) -> Floats:
    """Ellipses fitted to the sets of points, where the fit error is small."""
    if not len(points):
        return np.zeros((0, 5))
    ellipses = fit_ellipses(points, weights)
    good = np.isfinite(ellipses).all(axis=-1)
    ellipses, points, weights = ellipses[good], points[good], weights[good]
    distance = distances_px(ellipses, points)
    error = np.sqrt((weights * distance**2).sum(-1) / weights.sum(-1))
    return np.asarray(ellipses[error < MAX_FIT_ERROR_PX])


def _plausible(ellipses: Floats, shape: tuple[int, int]) -> NDArray[np.bool_]:
    """Mask of ellipses whose size and axis ratio a dish in the frame may have."""
    height, width = shape
    diagonal = float(np.hypot(height, width))
    cx, cy, a, b, _ = ellipses.T
    with np.errstate(invalid="ignore"):
        plausible = (
            np.isfinite(ellipses).all(axis=-1)
            & (a > MIN_SEMI_MAJOR_FRACTION * diagonal)
            & (a < MAX_SEMI_MAJOR_FRACTION * diagonal)
            & (b > MIN_AXIS_RATIO * a)
            & (b > MIN_SEMI_MINOR_PX)
            & (np.abs(cx - width / 2) < MAX_CENTRE_OFFSET * width)
            & (np.abs(cy - height / 2) < MAX_CENTRE_OFFSET * height)
        )
    plausible[plausible] = is_level(ellipses[plausible], shape)
    return np.asarray(plausible)


def _edges_nearby(edges: Edges, on_arc: Indices) -> NDArray[np.intp]:
    """For each pixel the nearest of the edge points within `REACH_PX`, or -1."""
    height, width = edges.shape
    margin = REACH_PX
    wide = np.full((height + 2 * margin, width + 2 * margin), -1, dtype=np.intp)
    flat = wide.reshape(-1)
    place = (edges.rows[on_arc] + margin) * wide.shape[1] + edges.columns[on_arc] + margin
    reach = range(-margin, margin + 1)
    steps = [(r, c) for r in reach for c in reach if r * r + c * c <= margin**2]
    for row, column in sorted(steps, key=lambda s: -(s[0] ** 2 + s[1] ** 2)):
        flat[place + (row * wide.shape[1] + column)] = on_arc  # the nearest are written last
    return np.ascontiguousarray(wide[margin : margin + height, margin : margin + width])


def _support(
    ellipses: Floats, edges: Edges, near: NDArray[np.intp]
) -> tuple[NDArray[np.bool_], NDArray[np.bool_], NDArray[np.intp]]:
    """Masks of outline points in the frame and on an edge, and the index of that edge point."""
    _, points, normals = outline(ellipses, N_OUTLINE)
    columns, rows = np.floor(points[..., 0]).astype(int), np.floor(points[..., 1]).astype(int)
    height, width = edges.shape
    framed = (columns >= 1) & (columns < width - 1) & (rows >= 1) & (rows < height - 1)
    found = near[np.clip(rows, 0, height - 1), np.clip(columns, 0, width - 1)]
    agreement = np.abs(normals[..., 0] * edges.cosine[found] + normals[..., 1] * edges.sine[found])
    supported = framed & (found >= 0) & (agreement > ALIGNED_COSINE)
    return framed, supported, found


def _scores(ellipses: Floats, edges: Edges, near: NDArray[np.intp]) -> tuple[Floats, Floats]:
    """Score and support of each ellipse: long and complete outlines score highest."""
    framed, supported, _ = _support(ellipses, edges, near)
    share = supported.sum(-1) / np.maximum(framed.sum(-1), 1)
    seen = framed.mean(-1)
    length = np.sqrt(ellipses[:, 2] ** 2 + ellipses[:, 3] ** 2)
    share = np.where(1 - steps_since(supported).max(axis=-1) / N_OUTLINE > MIN_SPAN, share, 0)
    return share**2 * np.sqrt(seen * length), share


def _quick_scores(ellipses: Floats, edges: Edges, near: NDArray[np.intp]) -> Floats:
    """Score of each ellipse from a few points at equal steps of the eccentric anomaly."""
    anomaly = (np.arange(N_COARSE) + 0.5) * (2 * np.pi / N_COARSE)
    x, y = np.cos(anomaly), np.sin(anomaly)
    a, b, theta = (ellipses[:, i, None] for i in (2, 3, 4))
    cosine, sine = np.cos(theta), np.sin(theta)
    columns = (ellipses[:, :1] + a * cosine * x - b * sine * y).astype(np.intp)
    rows = (ellipses[:, 1:2] + a * sine * x + b * cosine * y).astype(np.intp)
    height, width = edges.shape
    framed = (columns >= 1) & (columns < width - 1) & (rows >= 1) & (rows < height - 1)
    found = near[np.clip(rows, 0, height - 1), np.clip(columns, 0, width - 1)]
    length = np.hypot(b * x, a * y)
    normal_x, normal_y = b * cosine * x - a * sine * y, b * sine * x + a * cosine * y
    agreement = np.abs(normal_x * edges.cosine[found] + normal_y * edges.sine[found])
    supported = framed & (found >= 0) & (agreement > ALIGNED_COSINE * length)
    total = (length * framed).sum(axis=1)
    share = (length * supported).sum(axis=1) / np.maximum(total, np.finfo(float).tiny)
    # The sum of the lengths replaces the circumference; a common factor does not change the order.
    return np.asarray(share**2 * np.sqrt(total))


def _refitted(ellipses: Floats, edges: Edges, near: NDArray[np.intp]) -> Floats:
    """Each ellipse fitted again to all edge points that support it."""
    _, supported, found = _support(ellipses, edges, near)
    weights = np.where(supported, 1.0, 0.0)
    enough = weights.sum(-1) >= 6
    return fit_ellipses(edges.points[found[enough]], weights[enough])
