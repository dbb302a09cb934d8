"""The long thin things in a picture."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.geometry import Ellipse, Point, diagonal_px
from auditor.line_segments import LineSegments, without_rims
from auditor.measurements.thin_things.pairs import Strip, find_strips

# All chosen on 70 photographs of dishes by many hands; no other source.
MIN_LENGTH_FRACTION = 0.08  # of the diagonal: the handle of a spoon; shorter strips are pasta
# A strip within these of a longer one belongs to it: its other edge, its highlight, its tines.
SAME_ANGLE_DEG, SAME_ACROSS_FRACTION, SAME_GAP_FRACTION = 12.0, 0.03, 0.05
# Strips that run the same way within this angle are parallels; a thing has at most this many, of
# any length: more are the stripes of a cloth or the boards of a table.
PARALLEL_DEG, MOST_PARALLELS = 6.0, 1
EDGE_FRACTION = 0.02  # of the diagonal: an end this near to the edge of the frame is cut off by it
# Least peak along the strip of the finder's map of placed things.
LEAST_PROBABILITY = 0.3
N_PLACES = 15  # along the strip, at which the map is read
# A strip is an edge of the subject if this share of it lies within this distance, of the diagonal,
# of the subject's outline; of 26 things none had more than 0.64.
OUTLINE_SHARE, OUTLINE_REACH_FRACTION = 0.7, 0.02
# Share of those left that are things on the same pictures: 26 of 75. The others are edges of boards
# and dishes, lattices and noodles.
CONFIDENCE = 0.3

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ThinThing:
    """Something long and thin.

    Attributes
    ----------
    ends : tuple of two Points
        Of its axis, the left one first (of an upright one, the upper one).
    width_fraction : float
        As a fraction of the frame's diagonal.
    confidence : float
        Probability, in [0, 1], that it is a thing.
    """

    ends: tuple[Point, Point]
    width_fraction: float
    confidence: float

    @property
    def middle(self) -> Point:
        """Middle of its axis."""
        (x, y), (other_x, other_y) = self.ends
        return Point((x + other_x) / 2, (y + other_y) / 2)


def measure_thin_things(
    pixels: NDArray[np.uint8],
    segments: LineSegments,
    elements_map: NDArray[np.float32],
    subject_mask: NDArray[np.bool_],
    rims: Sequence[Ellipse],
) -> tuple[ThinThing, ...]:
    """Find the long thin things, longest first.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    segments : LineSegments
        Of the same frame.
    elements_map : (h, w) float32 array
        In [0, 1], the finder's map of placed things, covering the frame.
    subject_mask : (h, w) bool array
        What runs along its outline is its edge.
    rims : sequence of Ellipse
        Segments along them are the edges of dishes.
    """
    diagonal = diagonal_px(segments.width, segments.height)
    strips = _one_of_each(find_strips(pixels, without_rims(segments, rims)), diagonal)
    placed = [
        strip
        for strip in strips
        if strip.length_px >= MIN_LENGTH_FRACTION * diagonal
        and _n_parallels(strip, strips) <= MOST_PARALLELS
        and not _crosses_frame(strip, segments, diagonal)
        and _along(strip, segments, elements_map).max() >= LEAST_PROBABILITY
    ]
    if not placed:  # the outline need not be looked at
        return ()
    near_outline = _near_outline(subject_mask)
    return tuple(
        ThinThing(_ends(strip, segments), strip.width_px / diagonal, CONFIDENCE)
        for strip in placed
        if _along(strip, segments, near_outline).mean() < OUTLINE_SHARE
    )


def _one_of_each(strips: Sequence[Strip], diagonal: float) -> list[Strip]:
    """The longest strip of each thing."""
    kept: list[Strip] = []
    for strip in strips:
        if not any(_belongs_to(strip, longer, diagonal) for longer in kept):
            kept.append(strip)
    return kept


def _belongs_to(strip: Strip, longer: Strip, diagonal: float) -> bool:
    if _angle_between_deg(strip, longer) > SAME_ANGLE_DEG:
        return False
    along = longer.direction
    normal = np.array([-along[1], along[0]])
    middle = (strip.start + strip.end) / 2 - longer.start
    reaches = sorted(float((end - longer.start) @ along) for end in (strip.start, strip.end))
    gap = SAME_GAP_FRACTION * diagonal
    return (
        abs(float(middle @ normal)) < SAME_ACROSS_FRACTION * diagonal
        and reaches[1] > -gap
        and reaches[0] < longer.length_px + gap
    )


def _angle_between_deg(strip: Strip, other: Strip) -> float:
    cosine = abs(float(strip.direction @ other.direction))
    return math.degrees(math.acos(min(1.0, cosine)))


def _n_parallels(strip: Strip, strips: Sequence[Strip]) -> int:
    return sum(
        other is not strip and _angle_between_deg(strip, other) < PARALLEL_DEG for other in strips
    )


def _crosses_frame(strip: Strip, segments: LineSegments, diagonal: float) -> bool:
    """Whether both ends are cut off by the frame, as of the edge of a table."""
    reach = EDGE_FRACTION * diagonal
    return all(
        min(x, y, segments.width - x, segments.height - y) < reach
        for x, y in (strip.start, strip.end)
    )


def _near_outline(mask: NDArray[np.bool_]) -> NDArray[np.float32]:
    """1 near the outline of a mask, 0 elsewhere; the edge of the frame is no outline."""
    outline = mask & ~ndimage.binary_erosion(mask, border_value=1)
    if not outline.any():
        return np.zeros(mask.shape, dtype=np.float32)
    away = ndimage.distance_transform_edt(~outline)
    return np.asarray(away < OUTLINE_REACH_FRACTION * math.hypot(*mask.shape), dtype=np.float32)


def _along(strip: Strip, segments: LineSegments, values: NDArray[np.float32]) -> Floats:
    """Values of a map at places along a strip."""
    height, width = values.shape
    steps = np.linspace(0, 1, N_PLACES)[:, np.newaxis]
    places = strip.start + steps * (strip.end - strip.start)
    columns = np.clip(places[:, 0] * width / segments.width, 0, width - 1).astype(int)
    rows = np.clip(places[:, 1] * height / segments.height, 0, height - 1).astype(int)
    return np.asarray(values[rows, columns], dtype=np.float64)


def _ends(strip: Strip, segments: LineSegments) -> tuple[Point, Point]:
    first, second = sorted(
        Point(
            min(max(float(x) / segments.width, 0.0), 1.0),
            min(max(float(y) / segments.height, 0.0), 1.0),
        )
        for x, y in (strip.start, strip.end)
    )
    return first, second
