"""How one picture lies in another: a scale and an offset."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Box

Floats = NDArray[np.float64]

MOST_HYPOTHESES = 100
"""Matches that are tried as the right one; a crop has some among any hundred."""

FIRST_TOLERANCE = 0.05
"""Of the longest side. The size of a single keypoint is off by 5 % (standard deviation, on 40
crops), and so is what it says of the far end of the frame."""

TOLERANCES = (0.03, 0.015, 0.015)
"""Of the longest side, after each fit to the matches that agree: a cell and a half in the end."""

SCALE_TOLERANCE_OCTAVES = 0.4
"""Between the sizes of matched keypoints and the scale that is fitted."""

LEAST_EXTENT = 0.01
"""Of the longest side, root of the sum of squares. Keypoints in one place fit any scale."""


@dataclass(frozen=True, slots=True)
class Frame:
    """Sides of a frame, as fractions of its longest side."""

    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Framing:
    """How a second picture lies in a first one: x1 = scale x2 + x.

    All lengths are fractions of the longest side of the picture to which they belong.
    """

    scale: float
    x: float
    y: float

    def inverse(self) -> Framing:
        """How the first picture lies in the second."""
        return Framing(1 / self.scale, -self.x / self.scale, -self.y / self.scale)

    def shared(self, first: Frame, second: Frame) -> Box:
        """What both show, in the first frame's lengths; without area where nothing is shared."""
        left, top = max(0.0, self.x), max(0.0, self.y)
        right = min(first.width, self.x + self.scale * second.width)
        bottom = min(first.height, self.y + self.scale * second.height)
        return Box(left, top, max(left, right), max(top, bottom))


@dataclass(frozen=True, slots=True)
class MatchedPlaces:
    """Places and sizes of N matched keypoints in one picture, as fractions of its longest side."""

    x: Floats
    y: Floats
    size: Floats


def fit_framing(first: MatchedPlaces, second: MatchedPlaces, least: int) -> Framing | None:
    """Find the scale and offset that most matches agree with; None if fewer than `least` do."""
    octaves = np.log2(first.size / second.size)
    framing = _best_hypothesis(first, second, octaves)
    agree = _agreeing(framing, first, second, octaves, FIRST_TOLERANCE)
    for tolerance in TOLERANCES:
        if np.count_nonzero(agree) < least:
            return None
        fitted = _least_squares(first, second, agree)
        if fitted is None:
            return None
        framing = fitted
        agree = _agreeing(framing, first, second, octaves, tolerance)
    return framing if np.count_nonzero(agree) >= least else None


def _best_hypothesis(first: MatchedPlaces, second: MatchedPlaces, octaves: Floats) -> Framing:
    """What a single match says that most others agree with."""
    tried = slice(MOST_HYPOTHESES)
    scales = 2.0 ** octaves[tried, np.newaxis]
    x = first.x[tried, np.newaxis] - scales * second.x[tried, np.newaxis]
    y = first.y[tried, np.newaxis] - scales * second.y[tried, np.newaxis]
    off = np.hypot(scales * second.x + x - first.x, scales * second.y + y - first.y)
    agree = (off < FIRST_TOLERANCE * np.maximum(1, scales)) & (
        np.abs(octaves[tried, np.newaxis] - octaves) < SCALE_TOLERANCE_OCTAVES
    )
    best = int(agree.sum(axis=1).argmax())
    return Framing(float(scales[best, 0]), float(x[best, 0]), float(y[best, 0]))


def _agreeing(
    framing: Framing,
    first: MatchedPlaces,
    second: MatchedPlaces,
    octaves: Floats,
    tolerance: float,
) -> NDArray[np.bool_]:
    off = np.hypot(
        framing.scale * second.x + framing.x - first.x,
        framing.scale * second.y + framing.y - first.y,
    )
    sizes = np.abs(octaves - np.log2(framing.scale)) < SCALE_TOLERANCE_OCTAVES
    agree: NDArray[np.bool_] = (off < tolerance * max(1.0, framing.scale)) & sizes
    return agree


def _least_squares(
    first: MatchedPlaces, second: MatchedPlaces, agree: NDArray[np.bool_]
) -> Framing | None:
    """Scale and offset of the matches that agree; None where they lie in one place."""
    x1, y1, x2, y2 = first.x[agree], first.y[agree], second.x[agree], second.y[agree]
    from_x, from_y = x2 - x2.mean(), y2 - y2.mean()
    extent = float((from_x**2 + from_y**2).sum())
    if extent < LEAST_EXTENT**2:
        return None
    scale = float((from_x * x1 + from_y * y1).sum()) / extent
    if scale <= 0:
        return None
    return Framing(
        scale, float(x1.mean() - scale * x2.mean()), float(y1.mean() - scale * y2.mean())
    )
