"""Completes dishes: a plate of nearly its table's colour is still closed by its rim.

Around a region found by colour, ellipses are tried; the one along which the picture has an edge
that runs with it nearly all the way round is taken for the rim, and its inside for the dish.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Floats = NDArray[np.float64]

EDGE_SIGMA_PX = 1.2  # scale of the gradient; soft shadows are softer
ORIENTATION_SIGMA_PX = 1.5  # over which the direction of an edge is averaged
LEAST_EDGE = 0.8  # CIELAB units a pixel: less is noise of the camera
EDGE_QUANTILE = 0.75  # an edge is among the strongest quarter of the picture
ALIGNMENT = 0.8  # cosine of twice the angle between edge and rim: within about 18 degrees
N_RIM_POINTS = 32  # along a rim on trial: every 11 degrees
RIM_SUPPORT = 0.72  # share of the rim that must lie on an edge running with it
ARC_SUPPORT = 0.4  # the same for each quarter: a horizon is no rim
N_ARCS = 4
RIM_IN_FRAME = 0.65  # share of the rim that must lie in the frame to be judged
ASPECTS = np.geomspace(0.25, 1.0, 9)  # minor over major: sine of elevations from 14 degrees
GROWTH = np.geomspace(0.8, 2.4, 12)  # half-width of the ellipse over that of the region
SHIFTS = np.linspace(-0.6, 0.6, 7)  # of the centre, in half-heights of the ellipse, and
SIDE_SHIFTS = np.linspace(-0.3, 0.3, 5)  # in half-widths
N_REFINED = 12  # best of the coarse grid that are tried again with half steps
COARSE_SLACK = 0.8  # of the support asked for, that the coarse grid must reach
LARGEST_HALF_WIDTH = 0.75  # of the frame's longer side
COVER = 0.85  # share of the region that the dish must hold


@dataclass(frozen=True, slots=True)
class EdgeField:
    """Where edges are and how they run.

    Attributes
    ----------
    strong : (h, w) bool array
        On an edge, or next to it.
    cos2, sin2 : (h, w) float array
        Of twice the angle of the gradient.
    """

    strong: NDArray[np.bool_]
    cos2: Floats
    sin2: Floats


def edge_field(lab: Floats) -> EdgeField:
    """Edges of a CIELAB picture, (h, w, 3), from its structure tensor."""
    xx = yy = xy = np.zeros(lab.shape[:2])
    for channel in range(3):
        gx = ndimage.gaussian_filter(lab[..., channel], EDGE_SIGMA_PX, order=(0, 1))
        gy = ndimage.gaussian_filter(lab[..., channel], EDGE_SIGMA_PX, order=(1, 0))
        xx, yy, xy = xx + gx * gx, yy + gy * gy, xy + gx * gy
    magnitude = np.sqrt(xx + yy)
    level = max(LEAST_EDGE, float(np.quantile(magnitude, EDGE_QUANTILE)))
    strong = ndimage.maximum_filter(magnitude, 3) > level
    difference = ndimage.gaussian_filter(xx - yy, ORIENTATION_SIGMA_PX)
    twice = ndimage.gaussian_filter(2 * xy, ORIENTATION_SIGMA_PX)
    length = np.maximum(np.hypot(difference, twice), 1e-9)
    return EdgeField(strong, difference / length, twice / length)


def find_dish(region: NDArray[np.bool_], edges: EdgeField) -> NDArray[np.bool_] | None:
    """The inside of the rim around a region, (h, w); None where no rim is plain.

    Of the ellipses with enough support the one with the largest support times size is taken.
    """
    rows, columns = np.nonzero(region)
    left, right, top, bottom = columns.min(), columns.max(), rows.min(), rows.max()
    half_width = (right - left + 1) / 2
    middle = ((left + right) / 2, (top + bottom) / 2)
    ellipses = _candidates(half_width, middle, max(region.shape))
    support = _support(ellipses, edges)
    best = np.argsort(-_merit(support, ellipses), kind="stable")[:N_REFINED]
    best = best[support[best] >= COARSE_SLACK * RIM_SUPPORT]
    if best.size == 0:
        return None
    ellipses = _refined(ellipses[best])
    support = _support(ellipses, edges)
    step = max(1, rows.size // 200)
    x, y = columns[::step], rows[::step]
    order = np.argsort(-_merit(support, ellipses), kind="stable")
    for cx, cy, a, b in ellipses[order][support[order] >= RIM_SUPPORT]:
        held = (((x - cx) / a) ** 2 + ((y - cy) / b) ** 2 <= 1).mean()
        if held >= COVER:
            return _inside(region.shape, cx, cy, a, b)
    return None


def _merit(support: Floats, ellipses: Floats) -> Floats:
    """Support, and a little for size: of two rims one in the other the outer is the dish."""
    return cast("Floats", support * np.sqrt(ellipses[:, 2]))


def _refined(ellipses: Floats) -> Floats:
    """Each ellipse with its neighbours at half a step of the grid."""
    steps = np.array(
        [(x, y, g, q) for x in (-1, 0, 1) for y in (-1, 0, 1) for g in (-1, 0, 1) for q in (-1, 0, 1)],
        dtype=np.float64,
    )
    cx, cy, a, b = (ellipses[:, k, np.newaxis] for k in range(4))
    growth = np.sqrt(GROWTH[1] / GROWTH[0]) ** steps[:, 2]
    aspect = np.minimum(np.sqrt(ASPECTS[1] / ASPECTS[0]) ** steps[:, 3], a / b)
    x = cx + steps[:, 0] * a * (SIDE_SHIFTS[1] - SIDE_SHIFTS[0]) / 2
    y = cy + steps[:, 1] * b * (SHIFTS[1] - SHIFTS[0]) / 2
    return np.stack([x, y, a * growth, b * growth * aspect], axis=2).reshape(-1, 4)


def _inside(shape: tuple[int, ...], cx: float, cy: float, a: float, b: float) -> NDArray[np.bool_]:
    y, x = np.ogrid[0 : shape[0], 0 : shape[1]]
    return cast("NDArray[np.bool_]", ((x - cx) / a) ** 2 + ((y - cy) / b) ** 2 <= 1)


def _candidates(half_width: float, middle: tuple[float, float], side: int) -> Floats:
    """Centre x, y and semi-axes of all ellipses tried, (k, 4)."""
    grid = np.stack(
        [v.ravel() for v in np.meshgrid(GROWTH, ASPECTS, SIDE_SHIFTS, SHIFTS, indexing="ij")], axis=1
    )
    a = half_width * grid[:, 0]
    b = a * grid[:, 1]
    ellipses = np.stack([middle[0] + grid[:, 2] * a, middle[1] + grid[:, 3] * b, a, b], axis=1)
    return cast("Floats", ellipses[a <= LARGEST_HALF_WIDTH * side])


def _support(ellipses: Floats, edges: EdgeField) -> Floats:
    """Share of each rim that lies on an edge running with it; 0 where too little is in the frame."""
    height, width = edges.strong.shape
    angle = np.arange(N_RIM_POINTS) * (2 * np.pi / N_RIM_POINTS)
    cosine, sine = np.cos(angle), np.sin(angle)
    cx, cy, a, b = (ellipses[:, k, np.newaxis] for k in range(4))
    column = np.rint(cx + a * cosine).astype(np.intp)
    row = np.rint(cy + b * sine).astype(np.intp)
    within = (column >= 0) & (column < width) & (row >= 0) & (row < height)
    np.clip(column, 0, width - 1, out=column)
    np.clip(row, 0, height - 1, out=row)
    nx, ny = b * cosine, a * sine
    squared = nx * nx + ny * ny
    cos2, sin2 = (nx * nx - ny * ny) / squared, 2 * nx * ny / squared
    along = edges.cos2[row, column] * cos2 + edges.sin2[row, column] * sin2
    held = edges.strong[row, column] & (along > ALIGNMENT) & within
    seen = within.sum(axis=1)
    share = held.sum(axis=1) / np.maximum(seen, 1)
    arcs = (-1, N_ARCS, N_RIM_POINTS // N_ARCS)
    arc_seen, arc_held = within.reshape(arcs).sum(axis=2), held.reshape(arcs).sum(axis=2)
    even = np.all(arc_held >= ARC_SUPPORT * arc_seen, axis=1)
    return np.where(even & (seen >= RIM_IN_FRAME * N_RIM_POINTS), share, 0.0)
