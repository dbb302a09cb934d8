"""What a planned element may have been found as, and how well its shape fits the name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from auditor.comparison.verdicts import doubt_of, spread_of
from auditor.geometry import Box, Point, diagonal_px
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.vocabulary.kinds import Kind

SeenAs = Literal["outline", "edges", "map"]

# How much more often things of a kind have an elongation than things of all kinds. Chosen on 60
# photographs of dishes by many hands with 128 planned things noted by eye.
_ELONGATIONS = (1.0, 1.5, 2.0, 3.0, 5.0)
_RATIOS = {
    Kind.LONG: (0.10, 0.15, 0.35, 2.0, 4.0),
    Kind.ROUND: (1.5, 1.3, 1.0, 0.5, 0.2),
    Kind.TALL: (1.0, 1.2, 1.3, 1.0, 0.4),
    Kind.SMALL: (1.2, 1.1, 1.0, 0.7, 0.4),
    Kind.FLAT: (1.0, 1.0, 1.0, 1.0, 0.7),
}
# What the edge of the frame cuts lengthwise, as a bowl of which only the rim is seen, was not long
# before.
_CUT_RATIO = 0.35
# Share of the frame beyond which a thing of a kind is unusual: a spoon across half of the frame
# covers 3 %, loose leaves less than a small bowl, a glass less than a plate (no source).
_MOST_SHARE = {Kind.LONG: 0.06, Kind.SMALL: 0.08, Kind.TALL: 0.15}
_TOO_LARGE_RATIO = 0.4
# The edges of a thin thing are two long ones side by side; other kinds rarely have such.
EDGES_RATIO = 4.0
# Spread of the place of a thin thing, of the diagonal: its edges are often seen along a part of it,
# the handle of a spoon (no source).
THIN_SPREAD = 0.05
_SAME_ELONGATION = 2.5  # from which an outline around the middle of a thin thing is the same thing
_AT_EDGE = 0.01  # of the frame's side: a box this near to it is cut off


@dataclass(frozen=True, slots=True)
class Candidate:
    """A thing found in the frame.

    Attributes
    ----------
    place : Point
        Its centroid.
    box : Box
    exists : float
        Probability, in [0, 1], that it is a thing.
    spread : float
        Of its place, as a fraction of the diagonal.
    seen_as : str
    element : int or None
        Its index among the picture's elements.
    elongation, area_fraction : float or None
        Of its outline.
    """

    place: Point
    box: Box
    exists: float
    spread: float
    seen_as: SeenAs
    element: int | None = None
    elongation: float | None = None
    area_fraction: float | None = None

    def fits(self, kind: Kind) -> float:
        """How much likelier its shape is for a thing of a kind than for any thing."""
        if self.seen_as == "edges":
            return EDGES_RATIO if kind is Kind.LONG else 0.0
        if kind is Kind.UNKNOWN or self.elongation is None or self.area_fraction is None:
            return 1.0
        ratio = float(np.interp(self.elongation, _ELONGATIONS, _RATIOS[kind]))
        if self._is_cut_lengthwise:
            ratio = min(ratio, _CUT_RATIO) if kind is Kind.LONG else max(ratio, 1.0)
        if self.area_fraction > _MOST_SHARE.get(kind, 1.0):
            ratio *= _TOO_LARGE_RATIO
        return ratio

    @property
    def _is_cut_lengthwise(self) -> bool:
        left, top, right, bottom = self.box
        is_wide = right - left > bottom - top
        return min(top, 1 - bottom) < _AT_EDGE if is_wide else min(left, 1 - right) < _AT_EDGE


def candidates(measured: MeasuredPhotograph) -> tuple[Candidate, ...]:
    """The elements and the thin things of a picture; a thing that is both is there once."""
    outlines = tuple(_outlines(measured))
    return (*outlines, *_thin_things(measured, outlines))


def _outlines(measured: MeasuredPhotograph) -> Iterator[Candidate]:
    for index, element in enumerate(measured.elements):
        region = element.value
        if region is not None:
            yield Candidate(
                region.centroid,
                region.bbox,
                1 - doubt_of(element),
                spread_of(element),
                "outline",
                index,
                region.elongation,
                region.area_fraction,
            )


def _thin_things(
    measured: MeasuredPhotograph, outlines: tuple[Candidate, ...]
) -> Iterator[Candidate]:
    for thing in measured.thin_things:
        if not any(
            (outline.elongation or 1.0) >= _SAME_ELONGATION and contains(outline.box, thing.middle)
            for outline in outlines
        ):
            (x, y), (other_x, other_y) = thing.ends
            half_px = thing.width_fraction * diagonal_px(measured.width, measured.height) / 2
            across, down = half_px / measured.width, half_px / measured.height
            yield Candidate(
                thing.middle,
                Box(
                    max(0.0, min(x, other_x) - across),
                    max(0.0, min(y, other_y) - down),
                    min(1.0, max(x, other_x) + across),
                    min(1.0, max(y, other_y) + down),
                ),
                thing.confidence,
                THIN_SPREAD,
                "edges",
            )


def contains(box: Box, at: Point) -> bool:
    """Whether a position lies in a box."""
    return box.left <= at.x <= box.right and box.top <= at.y <= box.bottom
