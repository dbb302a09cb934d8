"""Camera elevation from rims, rectangles and lines of the table, whichever is most certain."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse
from auditor.line_segments import LineSegments, without_rims
from auditor.measurements.camera_elevation.by_edges import MIN_LINES, by_lines, by_rectangles
from auditor.measurements.camera_elevation.by_rims import by_faint_rims, by_rims
from auditor.measurements.camera_elevation.elevation import TOLERANCE_DEG, CameraElevation
from auditor.measurements.camera_elevation.lens import lens_of
from auditor.measurements.camera_elevation.posterior import agreement, doubt_after
from auditor.measurements.camera_elevation.table_lines import TableLines, read_table_lines
from auditor.measurements.camera_elevation.tilt import Frame
from auditor.quantity import MOST_DOUBT, Quantity, probability_within_tolerance
from auditor.reasons import Reason

Labels = NDArray[np.integer]


def measure_camera_elevation(
    rims: Sequence[tuple[Ellipse, float, float]],
    width: int,
    height: int,
    focal_length_35mm: float | None,
    segments: LineSegments | None = None,
    faint: Sequence[tuple[Ellipse, float, float]] = (),
    *,
    things: Labels | None = None,
    exposed_ratio: float | None = None,
) -> Quantity[CameraElevation]:
    """Estimate the camera elevation from rims, or from straight edges where the rims give none.

    Straight edges also raise or lower the confidence of rims. Faint rims are used where there is
    nothing else.

    Parameters
    ----------
    rims : sequence of (Ellipse, float, float)
        Ellipse, support and standard error of the axis ratio of each rim.
    width, height : int
        Of the frame; only their ratio matters.
    focal_length_35mm : float or None
        From EXIF, in mm. If None, a normal lens (50 mm) is assumed, with lower confidence.
    segments : LineSegments or None
        From `find_line_segments`. If None, no straight edges are used.
    faint : sequence of (Ellipse, float, float)
        Rims with less support than a rim needs.
    things : (h, w) integer array or None
        Label map of the placed things; edges inside them are not those of the table.
    exposed_ratio : float or None
        Width over height of the frame as exposed, if the metadata give it.

    Returns
    -------
    Quantity of CameraElevation
        Undetermined with `Reason.NO_ROUND_RIM` where there is neither a rim, apart from small round
        ones that may be balls, nor enough straight edges; with `Reason.RIMS_DISAGREE` where the
        rims in one plane have too small a share of the weight.

    Notes
    -----
    Near 90 degrees a rim is nearly a circle and its plane is ill-conditioned: an axis ratio of 0.97
    corresponds to 76 degrees, and 0.99 still to 82.
    """
    lens = lens_of(width, height, focal_length_35mm, exposed_ratio)
    frame = Frame(width, height, lens.focal_length, lens.is_known)
    of_rims = by_rims(rims, frame, lens)
    of_faint = by_faint_rims(faint, frame, lens)
    if segments is None:
        return of_faint if of_rims.value is None and faint else of_rims
    straight = without_rims(segments, [ellipse for ellipse, _, _ in rims])
    table = read_table_lines(straight, lens, things)
    checked_rims, of_faint = _checked(of_rims, table), _checked(of_faint, table)
    if _is_likely(checked_rims):
        return checked_rims
    of_rectangles = by_rectangles(straight, frame, lens)
    # A rectangle is a part of the straight edges: they may contradict it but not confirm it.
    checked = _checked(of_rectangles, table)
    if of_rectangles.value is not None and _confidence(checked) >= _confidence(of_rectangles):
        return of_rectangles
    of_lines = by_lines(table, _doubt_of_lines(table, of_rims), lens)
    best = max(checked, of_lines, of_faint, key=_confidence)
    if _is_likely(best):
        return best
    return Quantity.undetermined(of_rims.reason or Reason.NO_ROUND_RIM)


def _confidence(found: Quantity[CameraElevation]) -> float:
    return found.confidence or 0.0


def _is_likely(found: Quantity[CameraElevation]) -> bool:
    return found.value is not None and found.doubt is not None and found.doubt <= MOST_DOUBT


def _checked(found: Quantity[CameraElevation], table: TableLines) -> Quantity[CameraElevation]:
    """The same elevation, more or less doubtful by the straight edges of the picture."""
    if found.value is None or found.spread is None or found.doubt is None:
        return found
    if len(table.lines) < MIN_LINES:
        return found
    agreeing = agreement(found.value.deg, found.spread, table.likelihood)
    doubt = doubt_after(found.doubt, table.doubt, agreeing)
    within = probability_within_tolerance(TOLERANCE_DEG, found.spread)
    return Quantity.measured(
        found.value,
        confidence=(1 - doubt) * within,
        tolerance=TOLERANCE_DEG,
        spread=found.spread,
    )


def _doubt_of_lines(table: TableLines, rims: Quantity[CameraElevation]) -> float:
    """Probability that the straight edges are not those of a table, after the rims."""
    if rims.value is None or rims.spread is None or rims.doubt is None:
        return table.doubt
    agreeing = agreement(rims.value.deg, rims.spread, table.likelihood)
    return doubt_after(table.doubt, rims.doubt, agreeing)
