"""The outline of an empty region: what lies in it is left out, so that it is not a rectangle."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from skimage.measure import find_contours

from auditor.geometry import Point
from auditor.measurements.negative_space.thinning import thinned

Ring = tuple[Point, ...]

# Our choices, no source; in cells of the working size (128 along the longer side).
TOLERANCES_PX = (0.75, 1.0, 1.5, 2.0)  # how far a straight side may be from the cells' edge
MOST_POINTS = 60  # of all rings together, where a tolerance of the list allows it
LEAST_HOLE_PX = 6.0  # a smaller hole, or a smaller ring, is a speck that nobody would draw
LEAST_CORNERS = 3  # of a ring that encloses anything
CUT_CORNER_PX = 0.5  # half a cell, which marching squares cut off every corner


def outline_of(region: NDArray[np.bool_]) -> tuple[Ring, ...]:
    """Outline of a connected region, and around the holes in it.

    Parameters
    ----------
    region : (h, w) bool array
        Covering the frame.

    Returns
    -------
    tuple of rings
        Each a closed polygon as fractions of the frame, its first point not repeated; the outer
        ring first, then the holes, the largest first. Filled by the even-odd rule they cover the
        region. Simplified until they have about `MOST_POINTS` points. Empty for an empty region.
    """
    height, width = region.shape
    # A rim of empty cells closes the outline along the edges of the frame.
    contours = find_contours(np.pad(region, 1).astype(np.float64), 0.5)
    contours = [ring for ring in contours if abs(_area(ring)) >= LEAST_HOLE_PX]
    contours.sort(key=lambda ring: -abs(_area(ring)))
    rings: list[NDArray[np.float64]] = []
    for tolerance in TOLERANCES_PX:
        rings = [_simplified(ring, tolerance) for ring in contours]
        if sum(len(ring) for ring in rings) <= MOST_POINTS:
            break
    return tuple(_in_frame(ring, height, width) for ring in rings if len(ring) >= LEAST_CORNERS)


def _in_frame(ring: NDArray[np.float64], height: int, width: int) -> Ring:
    """A contour (n, 2) of padded cells, row before column, as fractions of the frame.

    A contour cuts the corners of cells by half a cell; at the frame's edge that is undone.
    """
    cells = np.array([height, width], dtype=np.float64)
    at = ring - 0.5
    at = np.where(at <= CUT_CORNER_PX, 0.0, np.where(at >= cells - CUT_CORNER_PX, cells, at))
    return tuple(Point(float(x), float(y)) for y, x in at / cells)


def _simplified(ring: NDArray[np.float64], tolerance: float) -> NDArray[np.float64]:
    """A closed contour (n, 2) with fewer points, its last one not repeated.

    Split at two points that stay: the first and the one farthest from it. Else a start on a
    straight side would bend it.
    """
    start = int(ring[:-1].sum(axis=1).argmin())
    turned = np.roll(ring[:-1], -start, axis=0)
    turned = np.concatenate([turned, turned[:1]])
    far = int(np.hypot(*(turned - turned[0]).T).argmax())
    there = thinned(turned[: far + 1], tolerance)
    back = thinned(turned[far:], tolerance)
    return np.asarray(np.concatenate([there[:-1], back[:-1]]))


def _area(ring: NDArray[np.float64]) -> float:
    """Signed area of a closed contour (n, 2), by the shoelace formula."""
    y, x = ring.T
    return float((x[:-1] * y[1:] - x[1:] * y[:-1]).sum() / 2)
