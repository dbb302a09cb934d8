"""The dominant diagonal, from edges and from the arrangement, with its uncertainty."""

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
from auditor.measurements.diagonal.arrangement import ArrangedLine, arranged_line
from auditor.measurements.diagonal.edges import EdgeLine, strongest_line
from auditor.measurements.diagonal.line_of_force import Diagonal
from auditor.quantity import Quantity, probability_within_tolerance
from auditor.reasons import Reason

EDGE_SPREAD_DEG = 1.5  # of a line that is seen: edges are pooled over a few degrees; no source
ANGLE_TOLERANCE_DEG = 4.0  # about the least difference in slant that the eye sees; common practice
# Bars as long as a knife (0.5 to 0.9 of the short side, contrast 0.2 to 0.5 of full scale) were
# drawn over 138 finished food pictures without a diagonal. With this threshold 80 % of the bars are
# found, and 2 % of the unchanged pictures have a value.
MIN_STRENGTH = 0.4
AGREEMENT_DEG = 8.0  # largest angle at which edges and arrangement reinforce each other; no source
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

    Returns
    -------
    Quantity of Diagonal
        The tolerance is that of the angle in degrees. Undetermined with `Reason.NO_DIAGONAL` where
        no line is strong enough.
    """
    height, width = pixels.shape[:2]
    found = find_line_segments(pixels) if segments is None else segments
    candidates = [
        _by_arrangement(arranged_line(subject, elements, width, height)),
        _by_edges(strongest_line(without_rims(found, rims))),
    ]
    lines = _reinforced([line for line in candidates if line is not None])
    if not lines:
        return Quantity.undetermined(Reason.NO_DIAGONAL)
    line = max(lines, key=lambda line: line.value.strength)
    if line.value.strength < MIN_STRENGTH:
        return Quantity.undetermined(Reason.NO_DIAGONAL)
    within = probability_within_tolerance(ANGLE_TOLERANCE_DEG, line.spread_deg)
    return Quantity.measured(
        line.value,
        confidence=line.chance * within,
        tolerance=ANGLE_TOLERANCE_DEG,
        spread=line.spread_deg,
    )


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A line, the probability that a viewer sees it, and the spread of its angle if so."""

    value: Diagonal
    chance: float
    spread_deg: float


def _by_edges(line: EdgeLine | None) -> _Candidate | None:
    """The line drawn by edges."""
    if line is None:
        return None
    above = (line.strength - MIN_STRENGTH) / (1 - MIN_STRENGTH)
    chance = EDGE_CHANCE_FLOOR + EDGE_CHANCE_GAIN * math.sqrt(max(above, 0.0))
    value = Diagonal(line.angle_deg, line.ends, line.strength, "edges")
    return _Candidate(value, min(chance, 1.0), EDGE_SPREAD_DEG)


def _by_arrangement(line: ArrangedLine | None) -> _Candidate | None:
    """The slanted line through an arrangement."""
    if line is None or not is_slanted(line.angle_deg):
        return None
    value = Diagonal(line.angle_deg, line.ends, line.strength, "arrangement")
    spread_deg = math.hypot(
        line.standard_error_deg,
        math.degrees(CENTROID_ERROR_FRACTION / line.spread_fraction) * math.sqrt(2),
    )
    return _Candidate(value, line.strength, spread_deg)


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
