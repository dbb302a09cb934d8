"""What of the drawing may be an arrow, brought to one position, direction and size."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from skimage.morphology import skeletonize

from auditor.geometry import moments_of
from auditor.sketch.canvas import Mask

Floats = NDArray[np.float64]

EIGHT = np.ones((3, 3), dtype=np.bool_)
JOIN_PX = 2  # the parts of a head that stand this near to the shaft belong to it
SHORTEST, LONGEST = 0.035, 0.45  # of an arrow, as shares of the frame's diagonal
# Cells along and across an arrow, and what of its surroundings they show, in its lengths.
N_ALONG, N_ACROSS = 22, 13
HALF_ALONG, HALF_ACROSS = 0.55, 0.36
BLUR_CELLS = 0.6
N_FEATURES = 2 * N_ALONG * N_ACROSS + 4


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """A piece of ink as an arrow that points one way.

    Attributes
    ----------
    tip, tail : (2,) float array
        x and y on the canvas in px.
    label : int
        Of its ink.
    features : (N_FEATURES,) float array
    """

    tip: Floats
    tail: Floats
    label: int
    features: Floats


def candidates(ink: Mask, diagonal: float) -> tuple[list[Candidate], NDArray[np.intp]]:
    """Every piece of ink of an arrow's size, pointing either way; and the labels of the pieces.

    Parameters
    ----------
    ink : (h, w) bool array
    diagonal : float
        Of the frame, in px.
    """
    labels, _ = ndimage.label(ndimage.binary_dilation(ink, EIGHT, iterations=JOIN_PX), EIGHT)
    labels *= ink
    found = []
    for label, (rows, columns) in enumerate(ndimage.find_objects(labels), start=1):
        size = math.hypot(rows.stop - rows.start, columns.stop - columns.start)
        if SHORTEST * diagonal < size < LONGEST * diagonal:
            origin = np.array([columns.start, rows.start], dtype=float)
            for tip, tail, features in described(labels[rows, columns] == label, diagonal):
                found.append(Candidate(tip + origin, tail + origin, label, features))
    return found, labels


def described(mask: Mask, diagonal: float) -> list[tuple[Floats, Floats, Floats]]:
    """Tip, tail and features of a piece of ink, for both ways along its longer axis."""
    skeleton = skeletonize(np.pad(mask, 1))[1:-1, 1:-1]
    points, thin = _points(mask), _points(skeleton)
    if len(thin) < 5:
        return []
    shape = moments_of(*np.nonzero(mask)[::-1])
    axis = np.array(shape.direction)
    normal = np.array([-axis[1], axis[0]])
    along, across = points @ axis, points @ normal
    # The middle of the ends along the axis; across it the shaft, where most of the ink lies.
    ends = along.min(), along.max()
    length = max(float(ends[1] - ends[0]), 4.0)
    origin = axis * (ends[0] + ends[1]) / 2 + normal * float(np.median(across))
    hollow = float((ndimage.binary_fill_holes(mask) & ~mask).sum()) / length**2
    numbers = np.array([
        len(points) / len(thin) / length, len(thin) / length, 5 * hollow, 4 * length / diagonal,
    ])  # fmt: skip
    both = []
    for way in (axis, -axis):
        cells = [_cells(p - origin, way, length, len(p)) for p in (points, thin)]
        half = way * length / 2
        both.append((origin + half, origin - half, np.concatenate([*cells, numbers])))
    return both


def _points(mask: Mask) -> Floats:
    rows, columns = np.nonzero(mask)
    return np.stack([columns + 0.5, rows + 0.5], axis=1)


def _cells(points: Floats, way: Floats, length: float, n_points: int) -> Floats:
    """Where points lie relative to an axis: cells from tail to tip, blurred, flattened."""
    along = points @ way / length
    across = points @ np.array([-way[1], way[0]]) / length
    counts, _, _ = np.histogram2d(
        across, along, bins=(N_ACROSS, N_ALONG),
        range=((-HALF_ACROSS, HALF_ACROSS), (-HALF_ALONG, HALF_ALONG)),
    )  # fmt: skip
    blurred = ndimage.gaussian_filter(counts, BLUR_CELLS)
    # Of a plain line all ink lies in one row: that is 1.
    return np.asarray(np.minimum(blurred * N_ALONG / n_points, 1.5)).ravel()
