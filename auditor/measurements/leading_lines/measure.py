"""Leading lines of a picture: handles, then single edges, then a curve of supporting elements."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse, Region
from auditor.line_segments import LineSegments, without_rims
from auditor.mask_axis import MaskAxis
from auditor.measurements.leading_lines.body import Body
from auditor.measurements.leading_lines.curves import curve_of_things
from auditor.measurements.leading_lines.edges import (
    leading_edges,
    leading_lines,
    weight_elsewhere,
)
from auditor.measurements.leading_lines.handles import leading_handles
from auditor.measurements.leading_lines.leading import LeadingLines
from auditor.measurements.leading_lines.stretches import Target
from auditor.quantity import Quantity
from auditor.reasons import Reason

TOLERANCE = 0.06  # fraction of the diagonal: about a third of a dish's width
CURVE_CONFIDENCE = 0.6  # all drawn curves are found; too few photographs have one to calibrate
# Of handles that reach into the subject and of those that only touch it. All of 9 that were found
# on 70 photographs of dishes by many hands lead by eye, but the rules were chosen on these.
REACHING_CONFIDENCE, TOUCHING_CONFIDENCE = 0.8, 0.65
MIN_WEIGHT_SHARE = 0.3  # of all lines' weight: with less, other directions dominate


def measure_leading_lines(
    segments: LineSegments,
    subject: Region | None,
    elements: Sequence[Region],
    rims: Sequence[Ellipse],
    *,
    subject_mask: NDArray[np.bool_] | None = None,
    element_axes: Sequence[MaskAxis] = (),
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
    subject_mask : (h, w) bool array or None
        Covers the frame; without it the subject is taken for an ellipse.
    element_axes : sequence of MaskAxis
        Of the elements, in any order.

    Returns
    -------
    Quantity of LeadingLines
        Undetermined with `NO_SUBJECT` or `NO_LEADING_LINES`.
    """
    if subject is None:
        return Quantity.undetermined(Reason.NO_SUBJECT)
    lines = _handles(segments, subject, rims, subject_mask, element_axes) or leading_edges(
        segments, subject, rims
    )
    if lines is not None:
        return Quantity.measured(lines[0], confidence=lines[1], tolerance=TOLERANCE)
    curve = curve_of_things(subject, elements, segments.width, segments.height)
    if curve is not None:
        return Quantity.measured(curve, confidence=CURVE_CONFIDENCE, tolerance=TOLERANCE)
    return Quantity.undetermined(Reason.NO_LEADING_LINES)


def _handles(
    segments: LineSegments,
    subject: Region,
    rims: Sequence[Ellipse],
    subject_mask: NDArray[np.bool_] | None,
    element_axes: Sequence[MaskAxis],
) -> tuple[LeadingLines, float] | None:
    """The handles that lead to the subject, and their confidence."""
    frame = segments.width, segments.height
    body = (
        Body.of_region(subject, *frame)
        if subject_mask is None
        else Body.of_mask(subject_mask, *frame)
    )
    edges = without_rims(segments, rims)
    handles = [] if body is None else leading_handles(edges, body, element_axes)
    if body is None or not handles:
        return None
    weight = sum(handle.weight for handle in handles)
    share = weight / (weight + weight_elsewhere(edges, Target.of(subject, segments), handles))
    if share < MIN_WEIGHT_SHARE:
        return None
    is_sure = any(handle.reaches_in for handle in handles)
    confidence = REACHING_CONFIDENCE if is_sure else TOUCHING_CONFIDENCE
    return leading_lines(handles, body.centroid, share, segments), confidence
