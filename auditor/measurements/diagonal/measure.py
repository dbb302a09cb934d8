"""The dominant diagonal, from edges and from the arrangement, and its confidence."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

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
from auditor.quantity import Quantity
from auditor.reasons import Reason

ANGLE_TOLERANCE_DEG = 4.0  # about the least difference in slant that the eye sees; common practice
# Bars as long as a knife (0.5 to 0.9 of the short side, contrast 0.2 to 0.5 of full scale) were
# drawn over 138 finished food pictures without a diagonal. With this threshold 80 % of the bars are
# found, and 2 % of the unchanged pictures have a value.
MIN_STRENGTH = 0.4
AGREEMENT_DEG = 8.0  # largest angle at which edges and arrangement reinforce each other; no source
CENTROID_ERROR_FRACTION = 0.015  # of the frame's diagonal: median error of a subject's centroid
EDGE_CONFIDENCE_FLOOR = 0.55  # at `MIN_STRENGTH`: about the share of correct lines, judged by eye
EDGE_CONFIDENCE_GAIN = 0.42  # the strongest quarter of the lines were all correct, judged by eye


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
    value, confidence = max(lines, key=lambda line: line[0].strength)
    if value.strength < MIN_STRENGTH:
        return Quantity.undetermined(Reason.NO_DIAGONAL)
    return Quantity.measured(value, confidence=confidence, tolerance=ANGLE_TOLERANCE_DEG)


def _by_edges(line: EdgeLine | None) -> tuple[Diagonal, float] | None:
    """Diagonal and confidence of a line drawn by edges."""
    if line is None:
        return None
    above = (line.strength - MIN_STRENGTH) / (1 - MIN_STRENGTH)
    confidence = EDGE_CONFIDENCE_FLOOR + EDGE_CONFIDENCE_GAIN * math.sqrt(max(above, 0.0))
    return Diagonal(line.angle_deg, line.ends, line.strength, "edges"), min(confidence, 1.0)


def _by_arrangement(line: ArrangedLine | None) -> tuple[Diagonal, float] | None:
    """Diagonal and confidence of a slanted line through an arrangement."""
    if line is None or not is_slanted(line.angle_deg):
        return None
    value = Diagonal(line.angle_deg, line.ends, line.strength, "arrangement")
    error = math.hypot(
        line.standard_error_deg,
        math.degrees(CENTROID_ERROR_FRACTION / line.spread_fraction) * math.sqrt(2),
    )
    within = math.erf(ANGLE_TOLERANCE_DEG / (error * math.sqrt(2)))
    return value, within * line.strength


def _reinforced(lines: list[tuple[Diagonal, float]]) -> list[tuple[Diagonal, float]]:
    """Combine edges and arrangement into one stronger line if their angles agree."""
    if len(lines) < 2:
        return lines
    first, second = (value for value, _ in lines)
    if angle_difference_deg(first.angle_deg, second.angle_deg) > AGREEMENT_DEG:
        return lines
    both = 1 - (1 - first.strength) * (1 - second.strength)
    strongest, confidence = max(lines, key=lambda line: line[0].strength)
    return [(replace(strongest, strength=both), confidence)]
