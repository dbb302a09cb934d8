"""Pairs of straight edges that may be the two sides of one thin thing."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.geometry import diagonal_px
from auditor.line_segments import LineSegments

# Chosen on 60 photographs of dishes by many hands; no other source.
MAX_TAPER_DEG = 9.0  # between the two sides: handles widen towards their end
# Distance of the two sides, of the frame's diagonal: from a skewer to the blade of a knife.
MIN_WIDTH_FRACTION, MAX_WIDTH_FRACTION = 0.004, 0.05
MIN_OVERLAP = 0.5  # of the shorter side, along which the other one lies beside it
MIN_OVERLAP_PX = 12.0  # of the picture that the edges were found in; a shorter one is a speck
MIN_SLENDERNESS = 3.0  # length over width
# Least distance of the colour between the sides from that beside each, of 255: less is a grain.
MIN_STEP = 25.0
N_SAMPLES = 9  # of the colour along the thing; odd
# How far beside it the surroundings are looked at: a third of its width, and at least past the
# blur of its edge.
BESIDE_WIDTHS, MIN_BESIDE_PX = 0.35, 2.5

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Strip:
    """The area between two edges, in pixels of the reduced picture.

    Attributes
    ----------
    start, end : (2,) float array
        Ends of its axis.
    width_px : float
    """

    start: Floats
    end: Floats
    width_px: float

    @cached_property
    def length_px(self) -> float:
        """Length of its axis."""
        return float(np.hypot(*(self.end - self.start)))

    @cached_property
    def direction(self) -> Floats:
        """Unit vector from its start to its end."""
        return np.asarray((self.end - self.start) / self.length_px)


@dataclass(frozen=True, slots=True)
class _Between:
    """What lies between two segments: its axis, its reach along it, its middle and width across."""

    axis: Floats
    normal: Floats
    low: Floats
    high: Floats
    middle: float
    width: float

    @staticmethod
    def of(segments: LineSegments, first: int, second: int) -> _Between:
        lengths = segments.lengths_px[[first, second]]
        axis = segments.directions[first if lengths[0] >= lengths[1] else second]
        normal = np.array([-axis[1], axis[0]])
        centres = segments.centres[[first, second]]
        across, middles = centres @ normal, centres @ axis
        return _Between(
            axis,
            normal,
            middles - lengths / 2,
            middles + lengths / 2,
            float(across.mean()),
            float(abs(across[1] - across[0])),
        )

    @property
    def is_slender(self) -> bool:
        """False if it is stout."""
        return bool(self.high.max() - self.low.min() >= MIN_SLENDERNESS * self.width)


def find_strips(pixels: NDArray[np.uint8], segments: LineSegments) -> list[Strip]:
    """Find the strips of one colour between two edges, the longest first.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    segments : LineSegments
        Of the same frame.
    """
    n = len(segments)
    if n < 2:
        return []
    pairs = zip(*_beside_each_other(segments), strict=True)
    areas = [_Between.of(segments, int(first), int(second)) for first, second in pairs]
    slender = [area for area in areas if area.is_slender]
    if not slender:  # the picture need not be reduced
        return []
    size = (max(1, round(segments.width)), max(1, round(segments.height)))
    picture = np.asarray(Image.fromarray(pixels).resize(size, Image.Resampling.BOX))
    strips = [strip for area in slender if (strip := _strip(picture, area)) is not None]
    return sorted(strips, key=lambda strip: -strip.length_px)


def _beside_each_other(segments: LineSegments) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Indices of nearly parallel segments at a distance that a thin thing may have."""
    diagonal = diagonal_px(segments.width, segments.height)
    centres, along, lengths = segments.centres, segments.directions, segments.lengths_px
    first, second = np.triu_indices(len(segments), 1)
    cross = along[first, 0] * along[second, 1] - along[first, 1] * along[second, 0]
    longer = np.where(lengths[first] >= lengths[second], first, second)
    axis, offset = along[longer], centres[second] - centres[first]
    across = np.abs(axis[:, 0] * offset[:, 1] - axis[:, 1] * offset[:, 0])
    apart = np.abs((axis * offset).sum(axis=1))
    overlap = (lengths[first] + lengths[second]) / 2 - apart
    shorter = np.minimum(lengths[first], lengths[second])
    overlap = np.minimum(overlap, shorter)
    fits = (
        (np.abs(cross) <= math.sin(math.radians(MAX_TAPER_DEG)))
        & (across >= MIN_WIDTH_FRACTION * diagonal)
        & (across <= MAX_WIDTH_FRACTION * diagonal)
        & (overlap >= np.maximum(MIN_OVERLAP * shorter, MIN_OVERLAP_PX))
        & (overlap >= MIN_SLENDERNESS / 2 * across)
    )
    return first[fits], second[fits]


def _strip(picture: NDArray[np.uint8], area: _Between) -> Strip | None:
    """The strip between two segments; None if it is not of a colour of its own."""
    steps = np.linspace(area.low.max(), area.high.min(), N_SAMPLES)
    beside = area.width / 2 + max(MIN_BESIDE_PX, BESIDE_WIDTHS * area.width)
    inside, one, other = (
        _median_colour(
            picture, steps[:, np.newaxis] * area.axis + (area.middle + off) * area.normal
        )
        for off in (0.0, -beside, beside)
    )
    step = float(min(np.linalg.norm(inside - one), np.linalg.norm(inside - other)))
    if step < MIN_STEP:
        return None
    start, end = (
        area.middle * area.normal + reach * area.axis for reach in (area.low.min(), area.high.max())
    )
    return Strip(start, end, area.width)


def _median_colour(picture: NDArray[np.uint8], places: Floats) -> Floats:
    """Median colour at `N_SAMPLES` places (x, y) in pixels, which may lie outside the frame."""
    height, width = picture.shape[:2]
    columns = np.clip(places[:, 0], 0, width - 1).astype(int)
    rows = np.clip(places[:, 1], 0, height - 1).astype(int)
    # Of an odd number of samples the median is the one in the middle.
    return np.asarray(np.sort(picture[rows, columns], axis=0)[N_SAMPLES // 2], dtype=np.float64)
