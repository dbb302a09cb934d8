"""The arrow that shows where the light comes from.

An arrow is a shaft with two barbs, or a filled head, that run back from its tip. Seen from the
tip, everything off the shaft lies along two straight lines at about the same angle on either side.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import clock_from_direction
from auditor.sketch.canvas import Canvas, Mask
from auditor.sketch.drawn import Guess

Floats = NDArray[np.float64]

EIGHT = np.ones((3, 3), dtype=np.bool_)
JOIN_PX = 2  # the parts of a head that stand this near to the shaft belong to it
SHORTEST, LONGEST = 0.05, 0.45  # of an arrow, as shares of the frame's diagonal
# Shares of the arrow's length (our choice, from arrows drawn by hand): half width of the shaft as
# it wavers, the part in which a head may lie, how far its barbs reach at least.
SHAFT_HALF, HEAD_PART, LEAST_BARB, MOST_BARB = 0.07, 0.62, 0.09, 0.75
LEAST_ANGLE_DEG, MOST_ANGLE_DEG = 12.0, 68.0
MOST_OFF_SHAFT = 0.06  # share of the pixels behind the head that lie off the shaft
MOST_BARB_ERROR = 0.2  # of the barbs about straight lines from the tip, of their greatest width
MOST_UNEQUAL = 3.0  # one barb over the other
LEAST_SHAFT_INK = 0.8  # share of the shaft's length that has ink
LEAST_SCORE = 0.3
OUTSIDE_POINTING_PAST = 0.25  # what is left of the score where it points past the frame


@dataclass(frozen=True, slots=True, eq=False)
class Arrow:
    """An arrow.

    Attributes
    ----------
    tip, tail : (2,) float array
        x and y on the canvas in px.
    mask : (h, w) bool array
        Its ink.
    light_clock : Guess of float
    """

    tip: Floats
    tail: Floats
    mask: Mask
    light_clock: Guess[float]


def find_arrow(canvas: Canvas, ink: Mask) -> Arrow | None:
    """The most arrow-like component of the ink; None without one.

    Parameters
    ----------
    ink : (h, w) bool array
        Without the lines of the grid and the frame.
    """
    labels, _ = ndimage.label(ndimage.binary_dilation(ink, EIGHT, iterations=JOIN_PX), EIGHT)
    labels *= ink
    best: tuple[float, int, Floats, Floats] | None = None
    for index, window in enumerate(ndimage.find_objects(labels), start=1):
        found = _arrow_of(canvas, labels[window] == index, window)
        if found is not None and (best is None or found[0] > best[0]):
            best = (found[0], index, found[1], found[2])
    if best is None or best[0] < LEAST_SCORE:
        return None
    score, index, tip, tail = best
    dx, dy = tip - tail
    clock = clock_from_direction(-float(dx), float(dy))
    return Arrow(tip, tail, labels == index, Guess(clock, score))


def _arrow_of(
    canvas: Canvas, mask: Mask, window: Sequence[slice]
) -> tuple[float, Floats, Floats] | None:
    """Score, tip and tail of a component; None where it is no arrow."""
    size = math.hypot(*mask.shape)
    if not SHORTEST * canvas.diagonal < size < LONGEST * canvas.diagonal:
        return None
    rows, columns = np.nonzero(mask)
    points = np.stack([columns + 0.5, rows + 0.5], axis=1)
    origin = np.array([window[1].start, window[0].start], dtype=float)
    best = None
    for tip, tail in _axes(points):
        score = _score(points, tip, tail)
        if score > 0 and (best is None or score > best[0]):
            best = (score, tip + origin, tail + origin)
    if best is None:
        return None
    score, tip, tail = best
    return score * _points_in(canvas, tip, tail), tip, tail


def _axes(points: Floats) -> list[tuple[Floats, Floats]]:
    """Both ways along the line between the two pixels that lie farthest apart, and beside it."""
    middle = points.mean(axis=0)
    a = points[np.linalg.norm(points - middle, axis=1).argmax()]
    from_a = np.linalg.norm(points - a, axis=1)
    b = points[from_a.argmax()]
    axes = []
    for tail, head in ((a, b), (b, a)):
        # The end of a barb may be farther from the tail than the tip: the tip lies straight on.
        unit = (head - tail) / max(float(np.linalg.norm(head - tail)), 1e-9)
        for turn in np.radians((0, -8, 8, -16, 16)):
            c, s = math.cos(turn), math.sin(turn)
            way = np.array([c * unit[0] - s * unit[1], s * unit[0] + c * unit[1]])
            along, across = (points - tail) @ way, (points - tail) @ (-way[1], way[0])
            on_axis = np.abs(across) < 0.06 * along.max() + 1
            axes.append((points[on_axis][along[on_axis].argmax()], tail))
    return axes


def _score(points: Floats, tip: Floats, tail: Floats) -> float:
    """How much like an arrow with this tip and tail the pixels lie, in [0, 1]."""
    length = float(np.linalg.norm(tip - tail))
    if length < 8:
        return 0.0
    back = (tail - tip) / length
    along = (points - tip) @ back / length
    across = (points - tip) @ np.array([-back[1], back[0]]) / length
    half = max(SHAFT_HALF, 2.0 / length)
    off = np.abs(across) > half
    if along.min() < -0.12 or _shaft_gaps(along[~off], length) or off.sum() < 6:
        return 0.0
    if float((off & (along > HEAD_PART)).sum()) > MOST_OFF_SHAFT * len(points):
        return 0.0
    head = off & (along <= HEAD_PART)
    barbs = [_barb(along[head & side], across[head & side]) for side in (across > 0, across < 0)]
    if None in barbs:
        return 0.0
    (width_a, angle_a, error_a), (width_b, angle_b, error_b) = (b for b in barbs if b is not None)
    unequal = max(width_a, width_b) / min(width_a, width_b)
    if unequal > MOST_UNEQUAL:
        return 0.0
    score = 1.0 - 0.25 * (unequal - 1) / (MOST_UNEQUAL - 1)
    score -= 0.5 * max(error_a, error_b) / MOST_BARB_ERROR
    return max(0.0, score - 0.2 * min(1.0, abs(angle_a - angle_b) / 40))


def _shaft_gaps(along: Floats, length: float) -> bool:
    """Whether ink is missing along the shaft."""
    n_bins = max(6, int(length / 3))
    bins = np.unique((along[(along >= 0) & (along < 1)] * n_bins).astype(np.intp))
    return len(bins) < LEAST_SHAFT_INK * n_bins


def _barb(along: Floats, across: Floats) -> tuple[float, float, float] | None:
    """Width, angle in degrees and error of one side of a head; None where there is none."""
    if along.size < 3:
        return None
    across = np.abs(across)
    width = float(across.max())
    reach = float(np.hypot(along, across).max())
    if not LEAST_BARB < reach < MOST_BARB:
        return None
    # The outer pixels: a filled head has all that lies between them and the shaft.
    slope = float(np.percentile(across / np.maximum(along, 1e-3), 60))
    angle = math.degrees(math.atan(slope))
    if not LEAST_ANGLE_DEG < angle < MOST_ANGLE_DEG:
        return None
    error = (
        float(np.sqrt(np.mean((across - slope * along) ** 2)))
        / width
        * math.cos(math.radians(angle))
    )
    return (width, angle, error) if error < MOST_BARB_ERROR else None


def _points_in(canvas: Canvas, tip: Floats, tail: Floats) -> float:
    """1 where it points into the frame from its edge or margin; less otherwise."""
    low = np.array([canvas.margin, canvas.margin], dtype=float)
    high = low + np.array((canvas.width, canvas.height))
    middle = (low + high) / 2
    ahead = (tip - tail) / max(float(np.linalg.norm(tip - tail)), 1e-9)
    if (tip > low).all() and (tip < high).all():
        return 1.0
    nearer = np.linalg.norm(np.clip(tip, low, high) - tip) <= np.linalg.norm(
        np.clip(tail, low, high) - tail
    )
    to_frame = np.clip(tip + ahead * canvas.diagonal * 0.25, low, high) - tip
    goes_in = float(ahead @ to_frame) > 0 and float(ahead @ (middle - tip)) > 0
    return 1.0 if nearer and goes_in else OUTSIDE_POINTING_PAST
