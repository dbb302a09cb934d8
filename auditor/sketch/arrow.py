"""The arrow that shows where the light comes from.

Every piece of ink of an arrow's size is judged, both ways along its longer axis, by a small network
(`MODEL.md`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import clock_from_direction
from auditor.sketch.arrow_features import Candidate, candidates
from auditor.sketch.canvas import Canvas, Mask
from auditor.sketch.drawn import Guess
from auditor.sketch.network import chance_of

Floats = NDArray[np.float64]

LEAST_PROBABILITY, SURE = 0.7, 0.8
# Arrows of one light: cosine of the angle between them.
PARALLEL = 0.9
# What is left of the probability where an arrow in the margin points past the frame.
POINTING_PAST = 0.2
INTO_FRAME = 0.25  # how far ahead of the tip the frame is looked for, of its diagonal


@dataclass(frozen=True, slots=True, eq=False)
class Arrow:
    """An arrow.

    Attributes
    ----------
    tip, tail : (2,) float array
        x and y on the canvas in px.
    mask : (h, w) bool array
        Its ink, and that of others that surely are arrows and point the same way.
    light_clock : Guess of float
    """

    tip: Floats
    tail: Floats
    mask: Mask
    light_clock: Guess[float]


def find_arrow(canvas: Canvas, ink: Mask) -> Arrow | None:
    """The most arrow-like piece of the ink; None without one.

    Parameters
    ----------
    ink : (h, w) bool array
        Without handwriting and the lines of the grid and the frame.
    """
    found, labels = candidates(ink, canvas.diagonal)
    if not found:
        return None
    chances = chance_of("arrow_network.npz", np.stack([one.features for one in found]))
    chances = chances * [_points_in(canvas, one) for one in found]
    best = int(chances.argmax())
    if chances[best] < LEAST_PROBABILITY:
        return None
    tip, tail = found[best].tip, found[best].tail
    dx, dy = tip - tail
    clock = clock_from_direction(-float(dx), float(dy))
    guess = Guess(clock, float(chances[best]))
    arrows = [
        one.label
        for one, chance in zip(found, chances, strict=True)
        if chance >= SURE and _cosine(one, found[best]) > PARALLEL
    ]
    return Arrow(tip, tail, np.isin(labels, [found[best].label, *arrows]), guess)


def _cosine(one: Candidate, other: Candidate) -> float:
    a, b = one.tip - one.tail, other.tip - other.tail
    return float(a @ b / (np.linalg.norm(a) * np.linalg.norm(b)))


def _points_in(canvas: Canvas, one: Candidate) -> float:
    """1 within the frame, or pointing into it from the margin; less otherwise."""
    low = np.array([canvas.margin, canvas.margin], dtype=float)
    high = low + np.array((canvas.width, canvas.height))
    tip, tail = one.tip, one.tail
    if (tip > low).all() and (tip < high).all():
        return 1.0
    ahead = (tip - tail) / max(float(np.linalg.norm(tip - tail)), 1e-9)
    from_tip = np.clip(tip, low, high) - tip
    from_tail = np.clip(tail, low, high) - tail
    nearer = np.linalg.norm(from_tip) <= np.linalg.norm(from_tail)
    reached = tip + ahead * max(INTO_FRAME * canvas.diagonal, float(np.linalg.norm(from_tip)))
    slack = 0.05 * canvas.diagonal
    enters = (reached > low - slack).all() and (reached < high + slack).all()
    return 1.0 if nearer and enters else POINTING_PAST
