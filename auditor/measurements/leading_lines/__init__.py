"""Leading lines: edges, or a curve of things, that take the eye to the subject."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.geometry import Ellipse, Region
from auditor.line_segments import LineSegments
from auditor.measurements.leading_lines.curves import curve_of_things
from auditor.measurements.leading_lines.edges import leading_edges
from auditor.measurements.leading_lines.leading import LeadingLines
from auditor.quantity import Quantity
from auditor.reasons import Reason

__all__ = ["LeadingLines", "measure_leading_lines"]

TOLERANCE = 0.06  # fraction of the diagonal: about a third of a dish's width
CURVE_CONFIDENCE = 0.6  # curves drawn are all found; of photographs with one there were too few


def measure_leading_lines(
    segments: LineSegments,
    subject: Region | None,
    elements: Sequence[Region],
    rims: Sequence[Ellipse],
) -> Quantity[LeadingLines]:
    """Find what leads to the subject; `Reason.NO_LEADING_LINES` is the common, right answer.

    Parameters
    ----------
    segments : LineSegments
        Of the picture, whose proportions they know.
    subject, elements
        What the lines lead to, and what a curve may be made of.
    rims
        Rims of round dishes, whose edges are no lines.
    """
    if subject is None:
        return Quantity.undetermined(Reason.NO_SUBJECT)
    lines = leading_edges(segments, subject, rims)
    if lines is not None:
        return Quantity.measured(lines[0], confidence=lines[1], tolerance=TOLERANCE)
    curve = curve_of_things(subject, elements, segments.width, segments.height)
    if curve is not None:
        return Quantity.measured(curve, confidence=CURVE_CONFIDENCE, tolerance=TOLERANCE)
    return Quantity.undetermined(Reason.NO_LEADING_LINES)
