"""The dominant diagonal, from edges, from long things and from the arrangement."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse, Region, angle_difference_deg
from auditor.line_segments import (
    LineSegments,
    find_line_segments,
    is_slanted,
    without_rims,
)
from auditor.mask_axis import MaskAxis
from auditor.measurements.diagonal.arrangement import (
    ArrangedLine,
    arranged_line,
    probability_of_line,
)
from auditor.measurements.diagonal.edges import EdgeLine, slanted_lines, strongest_line
from auditor.measurements.diagonal.line_of_force import Diagonal
from auditor.measurements.diagonal.long_thing import long_thing
from auditor.measurements.diagonal.unseen import UnseenDiagonals, unseen_diagonals
from auditor.quantity import Quantity, probability_within_tolerance
from auditor.reasons import Reason

EDGE_SPREAD_DEG = 1.5  # of a line that is seen: edges are pooled over a few degrees; no source
AXIS_SPREAD_DEG = 2.0  # of the axis of a long thing; measured by the benchmark check_lines.py
ANGLE_TOLERANCE_DEG = 4.0  # about the least difference in slant that the eye sees; common practice
# Bars as long as a knife (0.5 to 0.9 of the short side, contrast 0.2 to 0.5 of full scale) were
# drawn over 138 finished food pictures without a diagonal. With this threshold 80 % of the bars are
# found, and 2 % of the unchanged pictures have a value.
MIN_STRENGTH = 0.4
AGREEMENT_DEG = 8.0  # largest angle at which edges and arrangement reinforce each other; no source
OUTLINE_ANGLE_DEG = 15.0  # largest angle between a long thing's axis and its sides; no source
CENTROID_ERROR_FRACTION = 0.015  # of the frame's diagonal: median error of a subject's centroid
EDGE_CHANCE_FLOOR = 0.55  # at `MIN_STRENGTH`: about the share of correct lines, judged by eye
EDGE_CHANCE_GAIN = 0.42  # the strongest quarter of the lines were all correct, judged by eye


def measure_diagonal(
    pixels: NDArray[np.uint8],
    subject: Region | None,
    elements: Sequence[Region],
    rims: Sequence[Ellipse],
    *,
    segments: LineSegments | None = None,
    edges: Sequence[EdgeLine] | None = None,
    axes: Sequence[MaskAxis] = (),
    axis_confidences: Sequence[float] | None = None,
    subject_confidence: float = 1.0,
    element_confidences: Sequence[float] | None = None,
) -> Quantity[Diagonal]:
    """Find the dominant diagonal.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    subject : Region or None
    elements : sequence of Region
        Subject and supporting elements, which form the arrangement.
    rims : sequence of Ellipse
        Rims of round dishes, whose edges are not lines.
    segments : LineSegments or None
        Result of `find_line_segments` on `pixels`, if already computed.
    edges : sequence of EdgeLine or None
        Result of `slanted_edges` on the segments, if already computed.
    axes : sequence of MaskAxis
        Of the subject and of the elements, in any order.
    axis_confidences : sequence of float or None
        Probability that the thing of each axis is there; None for certainty.
    subject_confidence : float
    element_confidences : sequence of float or None
        Probabilities that the subject and each element are there; None for certainty.

    Returns
    -------
    Quantity of Diagonal
        The tolerance is that of the angle in degrees. Undetermined with `Reason.NO_DIAGONAL` where
        no line is strong enough; `measure_unseen_diagonals` tells how likely there is one.
    """
    drawn = _edges(pixels, rims, segments) if edges is None else edges
    found = _Lines.of(pixels, subject, elements, drawn, axes, axis_confidences)
    there = [1.0] * len(elements) if element_confidences is None else element_confidences
    arranged = _by_arrangement(found.arranged, subject_confidence, there)
    lines = _reinforced([line for line in (arranged, found.drawn()) if line is not None])
    line = max(lines, key=lambda line: line.value.strength, default=None)
    if line is None or line.value.strength < MIN_STRENGTH:
        return Quantity.undetermined(Reason.NO_DIAGONAL)
    within = probability_within_tolerance(ANGLE_TOLERANCE_DEG, line.spread_deg)
    return Quantity.measured(
        line.value,
        confidence=line.chance * within,
        tolerance=ANGLE_TOLERANCE_DEG,
        spread=line.spread_deg,
    )


def measure_unseen_diagonals(
    pixels: NDArray[np.uint8],
    subject: Region | None,
    elements: Sequence[Region],
    rims: Sequence[Ellipse],
    *,
    segments: LineSegments | None = None,
    edges: Sequence[EdgeLine] | None = None,
    axes: Sequence[MaskAxis] = (),
    leading_deg: Sequence[float] = (),
) -> UnseenDiagonals:
    """Estimate how likely a viewer sees a diagonal where `measure_diagonal` finds none.

    The parameters are those of `measure_diagonal`, and `leading_deg`: the angles of the lines that
    lead to the subject, in degrees.
    """
    drawn = _edges(pixels, rims, segments) if edges is None else edges
    found = _Lines.of(pixels, subject, elements, drawn, axes)
    lines: list[EdgeLine | ArrangedLine] = [*found.edges, *(line for line, _ in found.long_things)]
    if found.arranged is not None:
        lines.append(found.arranged)
    return unseen_diagonals(
        [(line.angle_deg, line.strength) for line in lines if is_slanted(line.angle_deg)],
        [angle_deg for angle_deg in leading_deg if is_slanted(angle_deg)],
    )


def slanted_edges(segments: LineSegments, rims: Sequence[Ellipse]) -> list[EdgeLine]:
    """The slanted lines that edges draw; segments along the rims of dishes are left out."""
    return slanted_lines(without_rims(segments, rims))


def _edges(
    pixels: NDArray[np.uint8], rims: Sequence[Ellipse], segments: LineSegments | None
) -> list[EdgeLine]:
    return slanted_edges(find_line_segments(pixels) if segments is None else segments, rims)


@dataclass(frozen=True, slots=True)
class _Lines:
    """All lines of a picture, of any strength; each long thing with the probability of it."""

    arranged: ArrangedLine | None
    edges: Sequence[EdgeLine]
    long_things: list[tuple[EdgeLine, float]]

    @staticmethod
    def of(
        pixels: NDArray[np.uint8],
        subject: Region | None,
        elements: Sequence[Region],
        edges: Sequence[EdgeLine],
        axes: Sequence[MaskAxis],
        confidences: Sequence[float] | None = None,
    ) -> _Lines:
        height, width = pixels.shape[:2]
        sure = [1.0] * len(axes) if confidences is None else confidences
        rated = [
            (long_thing(axis, width, height), confidence)
            for axis, confidence in zip(axes, sure, strict=True)
            if is_slanted(axis.angle_deg)
        ]
        return _Lines(
            arranged_line(subject, elements, width, height),
            edges,
            [(line, confidence) for line, confidence in rated if line is not None],
        )

    def drawn(self) -> _Candidate | None:
        """The strongest line drawn by edges or by one long thing.

        The sides of a long thing are edges, too, and converge where it tapers: its axis is more
        exact.
        """
        edge = strongest_line(self.edges)
        thing, confidence = max(
            self.long_things, key=lambda rated: rated[0].strength, default=(None, 0.0)
        )
        if edge is None or thing is None:
            return _by_edges(edge, EDGE_SPREAD_DEG) or _by_edges(thing, AXIS_SPREAD_DEG, confidence)
        strength = max(edge.strength, thing.strength)
        is_outline = angle_difference_deg(edge.angle_deg, thing.angle_deg) <= OUTLINE_ANGLE_DEG
        if thing.strength == strength or (is_outline and thing.strength >= MIN_STRENGTH):
            # Edges that run along the axis are seen whether or not the thing was found rightly.
            sure = 1.0 if is_outline and edge.strength >= MIN_STRENGTH else confidence
            return _by_edges(replace(thing, strength=strength), AXIS_SPREAD_DEG, sure)
        return _by_edges(edge, EDGE_SPREAD_DEG)


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A line, the probability that a viewer sees it, and the spread of its angle if so."""

    value: Diagonal
    chance: float
    spread_deg: float


def _by_edges(
    line: EdgeLine | None, spread_deg: float, confidence: float = 1.0
) -> _Candidate | None:
    """A line drawn by edges, or by a thing that is there with a confidence."""
    if line is None:
        return None
    above = (line.strength - MIN_STRENGTH) / (1 - MIN_STRENGTH)
    chance = EDGE_CHANCE_FLOOR + EDGE_CHANCE_GAIN * math.sqrt(max(above, 0.0))
    value = Diagonal(line.angle_deg, line.ends, line.strength, "edges")
    return _Candidate(value, min(chance, 1.0) * confidence, spread_deg)


def _by_arrangement(
    line: ArrangedLine | None, subject: float, elements: Sequence[float]
) -> _Candidate | None:
    """The slanted line through an arrangement.

    A weak one reinforces nothing: some line lies near almost any few things.
    """
    if line is None or line.strength < MIN_STRENGTH or not is_slanted(line.angle_deg):
        return None
    value = Diagonal(line.angle_deg, line.ends, line.strength, "arrangement")
    spread_deg = math.hypot(
        line.standard_error_deg,
        math.degrees(CENTROID_ERROR_FRACTION / line.spread_fraction) * math.sqrt(2),
    )
    chance = line.strength * probability_of_line(line, subject, elements)
    return _Candidate(value, chance, spread_deg)


def _reinforced(lines: list[_Candidate]) -> list[_Candidate]:
    """Combine edges and arrangement into one stronger line if their angles agree."""
    if len(lines) < 2:
        return lines
    first, second = (line.value for line in lines)
    if angle_difference_deg(first.angle_deg, second.angle_deg) > AGREEMENT_DEG:
        return lines
    both = 1 - (1 - first.strength) * (1 - second.strength)
    strongest = max(lines, key=lambda line: line.value.strength)
    return [replace(strongest, value=replace(strongest.value, strength=both))]
