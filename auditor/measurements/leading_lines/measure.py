"""Leading lines of a picture: straight edges first, then a curve of supporting elements."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.geometry import Ellipse, Region
from auditor.line_segments import LineSegments
from auditor.measurements.leading_lines.curves import curve_of_things
from auditor.measurements.leading_lines.edges import leading_edges
from auditor.measurements.leading_lines.leading import LeadingLines
from auditor.quantity import Quantity
from auditor.reasons import Reason

TOLERANCE = 0.06  # fraction of the diagonal: about a third of a dish's width
CURVE_CONFIDENCE = 0.6  # all drawn curves are found; too few photographs have one to calibrate


def measure_leading_lines(
    segments: LineSegments,
    subject: Region | None,
    elements: Sequence[Region],
    rims: Sequence[Ellipse],
) -> Quantity[LeadingLines]:
    """Find what leads to the subject; `Reason.NO_LEADING_LINES` is the usual, correct answer.

    Parameters
    ----------
    segments : LineSegments
        Of the picture; they carry its proportions.
    subject : Region or None
        What the lines lead to.
    elements : sequence of Region
        Things that may form a curve.
    rims : sequence of Ellipse
        Rims of round dishes; edges along them are ignored.

    Returns
    -------
    Quantity of LeadingLines
        Undetermined with `NO_SUBJECT` or `NO_LEADING_LINES`.
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
