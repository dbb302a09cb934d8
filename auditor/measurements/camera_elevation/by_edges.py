"""Camera elevation from straight edges: whole rectangles, or lines along and across the table."""

from __future__ import annotations

import numpy as np

from auditor.line_segments import LineSegments
from auditor.measurements.camera_elevation.consensus import weighted_median
from auditor.measurements.camera_elevation.elevation import TOLERANCE_DEG, CameraElevation
from auditor.measurements.camera_elevation.lens import Lens
from auditor.measurements.camera_elevation.posterior import reading_of
from auditor.measurements.camera_elevation.rectangle_pose import find_rectangles
from auditor.measurements.camera_elevation.table_lines import TableLines
from auditor.measurements.camera_elevation.tilt import Frame
from auditor.quantity import Quantity, probability_within_tolerance
from auditor.reasons import Reason

# By whether the focal length is known. Of 267 rendered tables of the teaching family, 22 showed a
# rectangle: within the tolerance on 19 of them with the focal length known, on 15 of 21 with it
# assumed.
RECTANGLE_CONFIDENCE = {True: 0.85, False: 0.7}
# Standard error if the focal length is assumed: 0.1 diagonals off the centre, 28 mm or 100 mm for
# 50 mm.
RECTANGLE_ERROR_DEG = 4.5
LEAST_CONFIDENCE = 0.5  # of an elevation from lines alone: with less it may as well be wrong
MIN_LINES = 4  # along or across; any three lines fit some rectangle
# From here on what faces the camera may stand upright: a window, tiles, prints in a collage. Then
# so many lines are needed, as a window has four, and they must not all be parallel to the frame.
STEEP_DEG = 65.0
MIN_STEEP_LINES = 6


def by_rectangles(segments: LineSegments, frame: Frame, lens: Lens) -> Quantity[CameraElevation]:
    """Estimate the elevation from rectangles with four sides."""
    found = find_rectangles(segments, frame.focal_length)
    if not found:
        return Quantity.undetermined(Reason.NO_ROUND_RIM)
    elevations = np.array([rectangle.elevation_deg for rectangle in found])
    median = weighted_median(elevations, np.array([rectangle.edge_length for rectangle in found]))
    agreeing = [r for r in found if abs(r.elevation_deg - median) <= TOLERANCE_DEG]
    chance = RECTANGLE_CONFIDENCE[frame.focal_length_is_known] * len(agreeing) / len(found)
    spread_deg = float(np.hypot(RECTANGLE_ERROR_DEG, lens.horizon_error_deg))
    whole, cropped = (
        probability_within_tolerance(TOLERANCE_DEG, error_deg)
        for error_deg in (RECTANGLE_ERROR_DEG, spread_deg)
    )
    return Quantity.measured(
        CameraElevation(
            median,
            (),
            rectangles=tuple(r.corners for r in agreeing),
            cropped_from=lens.cropped_from,
        ),
        confidence=chance * cropped / whole,
        tolerance=TOLERANCE_DEG,
        spread=spread_deg,
    )


def by_lines(table: TableLines, doubt: float, lens: Lens) -> Quantity[CameraElevation]:
    """Estimate the elevation from straight edges along and across the table.

    Parameters
    ----------
    table : TableLines
    doubt : float
        Probability that they are not those of a table.
    lens : Lens
    """
    found = reading_of(table.likelihood, doubt, TOLERANCE_DEG, lens.horizon_error_deg)
    is_steep = found.deg > STEEP_DEG
    least = MIN_STEEP_LINES if is_steep else MIN_LINES
    may_be_upright = is_steep and table.is_framed
    if found.confidence < LEAST_CONFIDENCE or len(table.lines) < least or may_be_upright:
        return Quantity.undetermined(Reason.NO_ROUND_RIM)
    return Quantity.measured(
        CameraElevation(found.deg, (), lines=table.lines, cropped_from=lens.cropped_from),
        confidence=found.confidence,
        tolerance=TOLERANCE_DEG,
        spread=found.spread_deg,
    )
