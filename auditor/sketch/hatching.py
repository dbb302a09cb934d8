"""Hatching: an area filled with parallel lines, by which empty space is marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components
from skimage.morphology import convex_hull_image

from auditor.sketch.canvas import Canvas, Mask
from auditor.sketch.strokes import Stroke

Floats = NDArray[np.float64]

EIGHT = np.ones((3, 3), dtype=np.bool_)
# A line of hatching: length as a share of the frame's diagonal, chord over length, pixels between
# the points at which a stroke's direction is read to find the corners of a zigzag.
LEAST_LENGTH, LEAST_STRAIGHT, CORNER_STEP_PX, CORNER_DEG = 0.02, 0.95, 5, 55.0
# Neighbours: angle between them, distance as a share of the diagonal and of their length, and how
# much of the shorter lies beside the longer.
PARALLEL_DEG, NEIGHBOUR, LEAST_BESIDE = 14.0, 0.055, 0.3
LEAST_LINES = 6
RIM_PX = 4  # the ends of the lines with the pen's width
LEAST_AREA = 0.025  # of the frame; stripes of a smaller thing are its pattern
LEAST_WIDTH = 0.055  # of the diagonal: a row of letters is lower
LEAST_STRAIGHT_INK = 0.45  # share of the ink within that the lines are


@dataclass(frozen=True, slots=True, eq=False)
class Hatching:
    """A hatched area.

    Attributes
    ----------
    area : (h, w) bool array
        On the canvas: what the lines take together.
    """

    area: Mask


def find_hatching(canvas: Canvas, strokes: Sequence[Stroke]) -> Hatching | None:
    """The largest hatched area; None without one."""
    pieces = [piece for stroke in strokes for piece in _straight(stroke, canvas.diagonal)]
    if len(pieces) < LEAST_LINES:
        return None
    _, cluster = connected_components(
        csr_array(_neighbours(pieces, canvas.diagonal)), directed=False
    )
    best = np.bincount(cluster).argmax()
    own = [piece for piece, label in zip(pieces, cluster, strict=True) if label == best]
    if len(own) < LEAST_LINES:
        return None
    lines = np.zeros_like(canvas.ink)
    for piece in own:
        columns, rows = piece.astype(np.intp).T
        lines[rows, columns] = True
    area = ndimage.binary_dilation(convex_hull_image(lines), EIGHT, iterations=RIM_PX)
    if area[canvas.inside].sum() < LEAST_AREA * canvas.width * canvas.height:
        return None
    if 2 * ndimage.distance_transform_edt(area).max() < LEAST_WIDTH * canvas.diagonal:
        return None
    all_within = sum(_n_within(stroke.points, area) for stroke in strokes)
    return Hatching(area) if lines.sum() > LEAST_STRAIGHT_INK * all_within else None


def _n_within(points: Floats, area: Mask) -> int:
    columns, rows = points.astype(np.intp).T
    return int(area[rows, columns].sum())


def _straight(stroke: Stroke, diagonal: float) -> list[Floats]:
    """The straight pieces (N, 2) of a stroke, cut at its corners, long enough for hatching."""
    points, k = stroke.points, CORNER_STEP_PX
    cuts = [0, len(points)]
    if len(points) > 3 * k:
        ahead = points[2 * k :] - points[k:-k]
        back = points[k:-k] - points[: -2 * k]
        cosine = (ahead * back).sum(axis=1)
        cosine /= np.maximum(np.linalg.norm(ahead, axis=1) * np.linalg.norm(back, axis=1), 1e-9)
        turning, n_corners = ndimage.label(cosine < np.cos(np.radians(CORNER_DEG)))
        corners = [int(np.flatnonzero(turning == i).mean()) + k for i in range(1, n_corners + 1)]
        cuts = [0, *corners, len(points)]
    pieces = [points[a:b] for a, b in pairwise(cuts) if b - a > k]
    return [
        piece
        for piece in pieces
        if (one := Stroke(piece)).chord >= LEAST_LENGTH * diagonal
        and one.chord >= LEAST_STRAIGHT * one.length
    ]


def _neighbours(pieces: list[Floats], diagonal: float) -> NDArray[np.bool_]:
    """Which pieces lie beside each other, parallel."""
    a, b = np.array([p[0] for p in pieces]), np.array([p[-1] for p in pieces])
    middle, along = (a + b) / 2, b - a
    length = np.linalg.norm(along, axis=1)
    unit = along / length[:, None]
    parallel = np.abs(unit @ unit.T) > np.cos(np.radians(PARALLEL_DEG))
    step = middle[None] - middle[:, None]
    beside = np.abs((step * unit[:, None]).sum(axis=-1))
    apart = np.abs(step[..., 0] * unit[:, None, 1] - step[..., 1] * unit[:, None, 0])
    shorter = np.minimum(length[:, None], length)
    overlap = (length[:, None] + length) / 2 - beside
    near = apart < np.minimum(NEIGHBOUR * diagonal, shorter)
    return np.asarray(parallel & near & (overlap > LEAST_BESIDE * shorter))
