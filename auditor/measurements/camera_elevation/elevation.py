"""Camera elevation: the rims' joint word, else that of rectangles, and how far to trust it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import erf

from auditor.geometry import Ellipse, Point, Tilt
from auditor.line_segments import LineSegments, without_rims
from auditor.measurements.camera_elevation.circle_pose import focal_length_in_diagonals
from auditor.measurements.camera_elevation.consensus import (
    Consensus,
    find_consensus,
    read_rim,
    weighted_median,
)
from auditor.measurements.camera_elevation.rectangle_pose import find_rectangles
from auditor.measurements.camera_elevation.tilt import Frame, tilts_of_rims
from auditor.quantity import Quantity
from auditor.reasons import Reason

TOLERANCE_DEG = 10.0  # the steps that a plan speaks in (level, 25, 45, 75, overhead) are wider
ROUND_RATIO = 0.9  # rounder, it may as well be a ball: an orange is round from everywhere
MIN_ROUND_FRACTION = 0.1  # of the diagonal: a lone round thing smaller than this says nothing
MIN_AGREEING_SHARE = 0.55  # of the weight; less is a quarrel

# Chance that a rim of so much support is no level rim of a dish. Judged by eye on 167 photographs
# of dishes, where 5 of 120 rims were none; on 58 rendered tables that took no part in it, 0.82 to
# 0.98 was said (by quarters) where 0.93 to 1.00 came true.
SUPPORTS = (0.55, 0.75, 0.95)
DOUBTS = (0.3, 0.15, 0.02)
KNOWN_LENS_ERROR_DEG = 2.5  # dishes that do not lie quite level, aim off the middle of a crop
ASSUMED_LENS_ERROR_DEG = 4.5  # a dish 0.1 diagonals off the middle, 28 mm or 100 mm for 50 mm
# Of 267 rendered tables of the teaching family 22 showed a rectangle: right within the tolerance on
# 19 with the focal length known, and on 15 of 21 with it assumed.
RECTANGLE_CONFIDENCE = {True: 0.85, False: 0.7}


@dataclass(frozen=True, slots=True)
class CameraElevation:
    """How far above the table plane the camera looks down.

    Attributes
    ----------
    deg : float
        In [0, 90]: 0 level with the table, 90 straight down, along the optical axis; the
        quantity's tolerance is in degrees.
    ellipses : tuple of Ellipse
        The rims that it was read from.
    tilts : tuple of Tilt
        The roll that each of them speaks of, where it has one.
    rectangles : tuple of corners
        Of boards, trays, cloths and checks that it was read from; the corners in order around.
    """

    deg: float
    ellipses: tuple[Ellipse, ...]
    tilts: tuple[Tilt, ...] = ()
    rectangles: tuple[tuple[Point, ...], ...] = ()


def measure_camera_elevation(
    rims: Sequence[tuple[Ellipse, float, float]],
    width: int,
    height: int,
    focal_length_35mm: float | None,
    segments: LineSegments | None = None,
) -> Quantity[CameraElevation]:
    """Join the elevations that single rims speak of; where there is none, those of rectangles.

    Parameters
    ----------
    rims
        Ellipse, support and standard error of the axis ratio of each.
    width, height : int
        Of the frame, in any unit in the right proportion.
    focal_length_35mm : float or None
        From EXIF; a normal lens (50 mm) is assumed where it is not known, with less confidence.
    segments : LineSegments or None
        What `find_line_segments` found; without them no rectangles are looked for.

    Returns
    -------
    Quantity of CameraElevation
        Undetermined where there is neither a rim, other than small round ones that may be balls,
        nor a rectangle (`Reason.NO_ROUND_RIM`), and where no rims with most of the weight lie in
        one plane (`Reason.RIMS_DISAGREE`).

    Notes
    -----
    Near 90 degrees a rim is nearly a circle and its plane ill-conditioned: an axis ratio of
    0.97 is 76 degrees, and 0.99 still 82.
    """
    is_known = focal_length_35mm is not None
    frame = Frame(width, height, focal_length_in_diagonals(focal_length_35mm), is_known)
    by_rims = _by_rims(rims, frame)
    if by_rims.value is None and segments is not None:
        straight = without_rims(segments, [ellipse for ellipse, _, _ in rims])
        return _by_rectangles(straight, frame) or by_rims
    return by_rims


def _by_rims(
    rims: Sequence[tuple[Ellipse, float, float]], frame: Frame
) -> Quantity[CameraElevation]:
    readings = [
        read_rim(ellipse, support, error, (frame.width, frame.height), frame.focal_length)
        for ellipse, support, error in _telling(rims)
    ]
    if not readings:
        return Quantity.undetermined(Reason.NO_ROUND_RIM)
    consensus = find_consensus(readings)
    if consensus.share < MIN_AGREEING_SHARE:
        return Quantity.undetermined(Reason.RIMS_DISAGREE)
    return Quantity.measured(
        CameraElevation(
            consensus.elevation_deg,
            tuple(r.ellipse for r in consensus.readings),
            tilts_of_rims(consensus, frame),
        ),
        confidence=_confidence(consensus, focal_length_known=frame.focal_length_is_known),
        tolerance=TOLERANCE_DEG,
    )


def _by_rectangles(segments: LineSegments, frame: Frame) -> Quantity[CameraElevation] | None:
    found = find_rectangles(segments, frame.focal_length)
    if not found:
        return None
    elevations = np.array([rectangle.elevation_deg for rectangle in found])
    median = weighted_median(elevations, np.array([rectangle.edge_length for rectangle in found]))
    heard = [r for r in found if abs(r.elevation_deg - median) <= TOLERANCE_DEG]
    return Quantity.measured(
        CameraElevation(median, (), rectangles=tuple(r.corners for r in heard)),
        confidence=RECTANGLE_CONFIDENCE[frame.focal_length_is_known] * len(heard) / len(found),
        tolerance=TOLERANCE_DEG,
    )


def _telling(
    rims: Sequence[tuple[Ellipse, float, float]],
) -> list[tuple[Ellipse, float, float]]:
    """Leave out round things that may be balls, unless a large rim is as round."""
    largest = max((ellipse for ellipse, _, _ in rims), key=_semi_major, default=None)
    if largest is None:
        return []
    may_be_round = _ratio(largest) > ROUND_RATIO and _semi_major(largest) > MIN_ROUND_FRACTION
    return [rim for rim in rims if may_be_round or _ratio(rim[0]) <= ROUND_RATIO]


def _semi_major(ellipse: Ellipse) -> float:
    return ellipse.semi_axes[0]


def _ratio(ellipse: Ellipse) -> float:
    return ellipse.semi_axes[1] / ellipse.semi_axes[0]


def _confidence(consensus: Consensus, *, focal_length_known: bool) -> float:
    """Probability that the error is within the tolerance.

    That a rim is one, and lies level, grows with its support; each further rim that agrees
    halves the doubt; weight that disagrees adds to it.
    """
    best = max(consensus.readings, key=lambda reading: reading.weight)
    doubt = float(np.interp(best.support, SUPPORTS, DOUBTS))
    doubt *= 0.5 ** (len(consensus.readings) - 1)
    is_rim = (1 - doubt) * consensus.share
    model_error_deg = KNOWN_LENS_ERROR_DEG if focal_length_known else ASSUMED_LENS_ERROR_DEG
    error_deg = float(np.hypot(consensus.error_deg, model_error_deg))
    within = float(erf(TOLERANCE_DEG / error_deg / np.sqrt(2)))
    return is_rim * within
