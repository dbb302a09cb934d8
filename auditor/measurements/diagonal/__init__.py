"""The dominant diagonal: the strongest slanted line of force, drawn by edges or by arrangement."""

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

__all__ = ["Diagonal", "measure_diagonal"]

ANGLE_TOLERANCE_DEG = 4.0  # the eye tells two slants apart from about here; common practice
# Bars as long as a knife (0.5 to 0.9 of the short side, a step of 0.2 to 0.5 of full scale) were
# laid over 138 finished food pictures without a diagonal: at this strength four fifths of the bars
# are found, and 2 % of the pictures as they are have an answer.
MIN_STRENGTH = 0.4
AGREEMENT_DEG = 8.0  # edges and arrangement that slant so alike support each other
CENTROID_ERROR_FRACTION = 0.015  # of the diagonal: median error of a found subject's centroid
EDGE_CONFIDENCE_FLOOR = 0.55  # of a line at `MIN_STRENGTH`: about as many of them were one by eye
EDGE_CONFIDENCE_GAIN = 0.42  # the strongest quarter of the lines were lines by eye without doubt


def measure_diagonal(
    pixels: NDArray[np.uint8],
    subject: Region | None,
    elements: Sequence[Region],
    rims: Sequence[Ellipse],
    *,
    segments: LineSegments | None = None,
) -> Quantity[Diagonal]:
    """Find the dominant diagonal; `Reason.NO_DIAGONAL` where none is strong enough.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    subject, elements
        What the arrangement is made of.
    rims
        Rims of round dishes, whose edges are no lines.
    segments : LineSegments or None
        What `find_line_segments` found in `pixels`, where that is known already.
    """
    height, width = pixels.shape[:2]
    found = find_line_segments(pixels) if segments is None else segments
    candidates = [
        _by_arrangement(arranged_line(subject, elements, width, height)),
        _by_edges(strongest_line(without_rims(found, rims))),
    ]
    lines = _supported([line for line in candidates if line is not None])
    if not lines:
        return Quantity.undetermined(Reason.NO_DIAGONAL)
    value, confidence = max(lines, key=lambda line: line[0].strength)
    if value.strength < MIN_STRENGTH:
        return Quantity.undetermined(Reason.NO_DIAGONAL)
    return Quantity.measured(value, confidence=confidence, tolerance=ANGLE_TOLERANCE_DEG)


def _by_edges(line: EdgeLine | None) -> tuple[Diagonal, float] | None:
    if line is None:
        return None
    above = (line.strength - MIN_STRENGTH) / (1 - MIN_STRENGTH)
    confidence = EDGE_CONFIDENCE_FLOOR + EDGE_CONFIDENCE_GAIN * math.sqrt(max(above, 0.0))
    return Diagonal(line.angle_deg, line.ends, line.strength, "edges"), min(confidence, 1.0)


def _by_arrangement(line: ArrangedLine | None) -> tuple[Diagonal, float] | None:
    if line is None or not is_slanted(line.angle_deg):
        return None
    value = Diagonal(line.angle_deg, line.ends, line.strength, "arrangement")
    error = math.hypot(
        line.standard_error_deg,
        math.degrees(CENTROID_ERROR_FRACTION / line.spread_fraction) * math.sqrt(2),
    )
    within = math.erf(ANGLE_TOLERANCE_DEG / (error * math.sqrt(2)))
    return value, within * line.strength


def _supported(lines: list[tuple[Diagonal, float]]) -> list[tuple[Diagonal, float]]:
    """Let edges and arrangement of about the same slant strengthen each other."""
    if len(lines) < 2:
        return lines
    first, second = (value for value, _ in lines)
    if angle_difference_deg(first.angle_deg, second.angle_deg) > AGREEMENT_DEG:
        return lines
    both = 1 - (1 - first.strength) * (1 - second.strength)
    strongest, confidence = max(lines, key=lambda line: line[0].strength)
    return [(replace(strongest, strength=both), confidence)]
