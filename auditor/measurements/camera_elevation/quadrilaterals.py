"""Quadrilaterals of four straight edges: a board, a tray, a cloth, a square of a pattern."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.line_segments import LineSegments, PooledLine, pool_segments

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

MAX_LINES = 24  # strongest lines; the number of quadrilaterals grows with its fourth power
MIN_LINE_FRACTION = 0.1  # edge on a line, of the short side; with less its direction is inaccurate
# Largest angle between opposite sides: parallels on the table seen from 25 degrees through 50 mm.
OPPOSITE_SINE = np.sin(np.radians(55))
CORNER_SINE = np.sin(np.radians(15))  # sharpest corner: a square seen from 8 degrees
CORNER_REACH_FRACTION = 0.5  # of the diagonal: largest distance of a corner from the frame
MIN_AREA_FRACTION = 0.05  # of the frame; the sides of smaller quadrilaterals are too short
# Width of a side, of the diagonal. Narrower than the band of `pool_segments`, which also includes
# the far edge of a chopstick.
BAND_FRACTION = 0.008
BAND_SINE = np.sin(np.radians(6))  # largest angle between a side and a segment on it
MIN_COVERED = 0.5  # share of a side in the frame that has an edge; a dish may hide the rest
MIN_SEEN_FRACTION = 0.1  # length in the frame of each side, of the short side of the frame
N_STEPS = 40  # points along a side at which an edge is looked for


@dataclass(frozen=True, slots=True)
class Quadrilaterals:
    """K quadrilaterals.

    Attributes
    ----------
    corners : (K, 4, 2) float array
        In order around the outline, (x, y) in pixels of the segments' picture.
    sides : (K, 4) int array
        Index of the line of each side; side i runs from corner i to the next corner.
    """

    corners: Floats
    sides: Indices

    def chosen(self, which: NDArray[np.bool_]) -> Quadrilaterals:
        """Select quadrilaterals by a (K,) bool array."""
        return Quadrilaterals(self.corners[which], self.sides[which])


@dataclass(frozen=True, slots=True)
class Lines:
    """The strongest lines of a picture.

    Attributes
    ----------
    points : (N, 2) float array
        A point on each, (x, y) in pixels.
    directions : (N, 2) float array
        Unit vectors.
    """

    points: Floats
    directions: Floats


def strongest_lines(segments: LineSegments) -> Lines:
    """Select the lines that may be sides, at most `MAX_LINES`."""
    least = MIN_LINE_FRACTION * min(segments.width, segments.height)
    lines = [line for line in pool_segments(segments, MAX_LINES) if line.covered_px >= least]
    return Lines(
        np.array([line.centre for line in lines]).reshape(-1, 2),
        np.array([_direction(line) for line in lines]).reshape(-1, 2),
    )


def _direction(line: PooledLine) -> tuple[float, float]:
    angle = np.radians(line.angle_deg)
    return float(np.cos(angle)), float(-np.sin(angle))


def closed_outlines(lines: Lines, width: float, height: float) -> Quadrilaterals:
    """Find all convex quadrilaterals of four lines that are large and mostly in the frame.

    Parameters
    ----------
    lines : Lines
    width, height : float
        Of the frame, in pixels.
    """
    sine = np.abs(_cross(lines.directions[:, None], lines.directions[None]))
    first, second = np.nonzero(np.triu(sine < OPPOSITE_SINE, k=1))
    one, other = np.triu_indices(len(first), 1)
    a, b, c, d = first[one], second[one], first[other], second[other]
    apart = (a != c) & (a != d) & (b != c) & (b != d)
    sharpest = np.minimum(np.minimum(sine[a, c], sine[a, d]), np.minimum(sine[b, c], sine[b, d]))
    kept = apart & (sharpest > CORNER_SINE)
    a, b, c, d = a[kept], b[kept], c[kept], d[kept]
    corner = _crossings(lines)
    found = Quadrilaterals(
        np.stack([corner[a, c], corner[a, d], corner[b, d], corner[b, c]], axis=1),
        np.stack([a, d, b, c], axis=1),
    )
    return found.chosen(_is_usable(found.corners, width, height))


def _is_usable(corners: Floats, width: float, height: float) -> NDArray[np.bool_]:
    edges = np.roll(corners, -1, axis=1) - corners
    turns = _cross(edges, np.roll(edges, -1, axis=1))
    area = np.abs(_cross(corners, np.roll(corners, -1, axis=1)).sum(axis=1)) / 2
    reach = CORNER_REACH_FRACTION * float(np.hypot(width, height))
    near = ((corners > -reach) & (corners < np.array([width, height]) + reach)).all(axis=(1, 2))
    convex = (turns > 0).all(axis=1) | (turns < 0).all(axis=1)
    return np.asarray(convex & near & (area > MIN_AREA_FRACTION * width * height))


def edge_along(found: Quadrilaterals, lines: Lines, segments: LineSegments) -> Floats:
    """Length of edge along each quadrilateral.

    Parameters
    ----------
    found : Quadrilaterals
    lines : Lines
        The lines that they are made of.
    segments : LineSegments
        The edges of the picture.

    Returns
    -------
    (K,) float array
        In units of the frame's short side; 0 where a side has too little edge.
    """
    frame = np.array([segments.width, segments.height], dtype=float)
    step = (np.arange(N_STEPS) + 0.5) / N_STEPS
    start, stop = found.corners, np.roll(found.corners, -1, axis=1)
    places = start[:, :, None] + step[:, None] * (stop - start)[:, :, None]  # (K, 4, N, 2)
    framed = ((places > 0) & (places < frame)).all(axis=-1)
    on_edge = np.zeros(framed.shape, dtype=np.bool_)
    for number in np.unique(found.sides):
        here = found.sides == number
        origin, direction = lines.points[number], lines.directions[number]
        low, high = _covered(segments, origin, direction)
        along = (places[here] - origin) @ direction
        on_edge[here] = ((along[..., None] >= low) & (along[..., None] <= high)).any(axis=-1)
    n_seen = framed.sum(axis=-1)
    n_on_edge = (on_edge & framed).sum(axis=-1)
    size = np.linalg.norm(stop - start, axis=-1) / frame.min()
    enough = (n_on_edge > MIN_COVERED * n_seen) & (n_seen / N_STEPS * size > MIN_SEEN_FRACTION)
    return np.asarray((n_on_edge / N_STEPS * size).sum(axis=1) * enough.all(axis=1))


def _covered(segments: LineSegments, origin: Floats, direction: Floats) -> tuple[Floats, Floats]:
    """Start and end of the segments on a line, in px along it from its origin."""
    normal = np.array([-direction[1], direction[0]])
    sine = np.abs(segments.directions @ normal)
    offset = np.abs((segments.centres - origin) @ normal) + sine * segments.lengths_px / 2
    band = BAND_FRACTION * float(np.hypot(segments.width, segments.height))
    on_line = (offset < band) & (sine < BAND_SINE)
    along = (segments.centres[on_line] - origin) @ direction
    half = segments.lengths_px[on_line] / 2
    return along - half, along + half


def _crossings(lines: Lines) -> Floats:
    """Intersection of each pair of lines, (N, N, 2) px; very far away for parallel lines."""
    across = _cross(lines.directions[:, None], lines.directions[None])
    across = np.where(np.abs(across) < np.finfo(float).eps, np.finfo(float).eps, across)
    apart = lines.points[None] - lines.points[:, None]
    along = _cross(apart, np.broadcast_to(lines.directions[None], apart.shape)) / across
    return np.asarray(lines.points[:, None] + along[..., None] * lines.directions[:, None])


def _cross(first: Floats, second: Floats) -> Floats:
    return np.asarray(first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0])
