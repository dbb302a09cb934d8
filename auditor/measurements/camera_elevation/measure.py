"""Camera elevation from rims, otherwise from rectangles, and its confidence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from auditor.geometry import Ellipse, Point, Tilt
from auditor.line_segments import LineSegments, without_rims
from auditor.measurements.camera_elevation.circle_pose import focal_length_in_diagonals
from auditor.measurements.camera_elevation.consensus import (
    Consensus,
    find_consensus,
    pose_of_rim,
    weighted_median,
)
from auditor.measurements.camera_elevation.rectangle_pose import find_rectangles
from auditor.measurements.camera_elevation.tilt import Frame, tilts_of_rims
from auditor.quantity import Quantity, probability_within_tolerance
from auditor.reasons import Reason

TOLERANCE_DEG = 10.0  # smaller than the steps of a plan (level, 25, 45, 75, overhead)
ROUND_RATIO = 0.9  # axis ratio above which it may be a ball: an orange is round from everywhere
MIN_ROUND_FRACTION = 0.1  # semi-axis, of the diagonal, below which a round thing may be a ball
MIN_AGREEING_SHARE = 0.55  # of the weight; below it the rims disagree

# Probability, by support, that a rim is not the level rim of a dish. Judged by eye on 167
# photographs of dishes, where 5 of 120 rims were wrong. On 58 other rendered tables the confidence
# was 0.82 to 0.98 (by quarters) and the share of correct answers 0.93 to 1.00.
SUPPORTS = (0.55, 0.75, 0.95)
NOT_A_RIM_PROBABILITIES = (0.3, 0.15, 0.02)
DOUBT_PER_RIM = 0.5  # factor for each further rim that agrees; no source
KNOWN_LENS_ERROR_DEG = 2.5  # dishes not quite level, optical axis off the centre of a crop
ASSUMED_LENS_ERROR_DEG = 4.5  # a dish 0.1 diagonals off the centre, 28 mm or 100 mm for 50 mm
# Further error of faint rims, and probability that they are rims at all: on 9 photographs of dishes
# one elevation was wrong altogether, the others differed by 6 degrees (root mean square); on 3
# photographs from the side (ECUSTFD) all were right.
FAINT_ERROR_DEG, FAINT_CHANCE = 7.0, 0.93
# By whether the focal length is known. Of 267 rendered tables of the teaching family, 22 showed a
# rectangle: within the tolerance on 19 of them with the focal length known, on 15 of 21 with it
# assumed.
RECTANGLE_CONFIDENCE = {True: 0.85, False: 0.7}


@dataclass(frozen=True, slots=True)
class CameraElevation:
    """The angle of the optical axis above the table plane.

    Attributes
    ----------
    deg : float
        In [0, 90] degrees: 0 is level with the table, 90 straight down. The quantity's tolerance is
        in degrees.
    ellipses : tuple of Ellipse
        The rims that it was estimated from.
    tilts : tuple of Tilt
        Camera roll estimated from each of these rims; those that cannot determine it are left out.
    rectangles : tuple of tuple of Point
        Corners, in order, of the boards, trays, cloths and pattern squares that it was estimated
        from.
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
    faint: Sequence[tuple[Ellipse, float, float]] = (),
) -> Quantity[CameraElevation]:
    """Estimate the camera elevation from rims, or from rectangles where the rims give none.

    Faint rims are used where there is neither.

    Parameters
    ----------
    rims : sequence of (Ellipse, float, float)
        Ellipse, support and standard error of the axis ratio of each rim.
    width, height : int
        Of the frame; only their ratio matters.
    focal_length_35mm : float or None
        From EXIF, in mm. If None, a normal lens (50 mm) is assumed, with lower confidence.
    segments : LineSegments or None
        From `find_line_segments`. If None, no rectangles are used.
    faint : sequence of (Ellipse, float, float)
        Rims with less support than a rim needs.

    Returns
    -------
    Quantity of CameraElevation
        Undetermined with `Reason.NO_ROUND_RIM` where there is neither a rim, apart from small round
        ones that may be balls, nor a rectangle; with `Reason.RIMS_DISAGREE` where the rims in one
        plane have too small a share of the weight.

    Notes
    -----
    Near 90 degrees a rim is nearly a circle and its plane is ill-conditioned: an axis ratio of 0.97
    corresponds to 76 degrees, and 0.99 still to 82.
    """
    is_known = focal_length_35mm is not None
    frame = Frame(width, height, focal_length_in_diagonals(focal_length_35mm), is_known)
    by_rims = _by_rims(rims, frame)
    if by_rims.value is None and segments is not None:
        straight = without_rims(segments, [ellipse for ellipse, _, _ in rims])
        by_rectangles = _by_rectangles(straight, frame)
        if by_rectangles is not None:
            return by_rectangles
    if by_rims.value is None and faint:
        by_faint = _by_rims(faint, frame, FAINT_ERROR_DEG, FAINT_CHANCE)
        return by_rims if by_faint.value is None else by_faint
    return by_rims


def _by_rims(
    rims: Sequence[tuple[Ellipse, float, float]],
    frame: Frame,
    further_error_deg: float = 0.0,
    chance: float = 1.0,
) -> Quantity[CameraElevation]:
    poses = [
        pose_of_rim(ellipse, support, error, (frame.width, frame.height), frame.focal_length)
        for ellipse, support, error in _without_balls(rims)
    ]
    if not poses:
        return Quantity.undetermined(Reason.NO_ROUND_RIM)
    consensus = find_consensus(poses)
    if consensus.share < MIN_AGREEING_SHARE:
        return Quantity.undetermined(Reason.RIMS_DISAGREE)
    spread_deg = float(
        np.hypot(
            _spread_deg(consensus, focal_length_known=frame.focal_length_is_known),
            further_error_deg,
        )
    )
    within = probability_within_tolerance(TOLERANCE_DEG, spread_deg)
    return Quantity.measured(
        CameraElevation(
            consensus.elevation_deg,
            tuple(rim.ellipse for rim in consensus.rims),
            tilts_of_rims(consensus, frame),
        ),
        confidence=chance * _chance_of_rims(consensus) * within,
        tolerance=TOLERANCE_DEG,
        spread=spread_deg,
    )


def _by_rectangles(segments: LineSegments, frame: Frame) -> Quantity[CameraElevation] | None:
    found = find_rectangles(segments, frame.focal_length)
    if not found:
        return None
    elevations = np.array([rectangle.elevation_deg for rectangle in found])
    median = weighted_median(elevations, np.array([rectangle.edge_length for rectangle in found]))
    agreeing = [r for r in found if abs(r.elevation_deg - median) <= TOLERANCE_DEG]
    return Quantity.measured(
        CameraElevation(median, (), rectangles=tuple(r.corners for r in agreeing)),
        confidence=RECTANGLE_CONFIDENCE[frame.focal_length_is_known] * len(agreeing) / len(found),
        tolerance=TOLERANCE_DEG,
        spread=ASSUMED_LENS_ERROR_DEG,
    )


def _without_balls(
    rims: Sequence[tuple[Ellipse, float, float]],
) -> list[tuple[Ellipse, float, float]]:
    """Leave out round things that may be balls, unless the largest rim is large and round."""
    largest = max((ellipse for ellipse, _, _ in rims), key=_semi_major, default=None)
    if largest is None:
        return []
    may_be_round = _ratio(largest) > ROUND_RATIO and _semi_major(largest) > MIN_ROUND_FRACTION
    return [rim for rim in rims if may_be_round or _ratio(rim[0]) <= ROUND_RATIO]


def _semi_major(ellipse: Ellipse) -> float:
    return ellipse.semi_axes[0]


def _ratio(ellipse: Ellipse) -> float:
    return ellipse.semi_axes[1] / ellipse.semi_axes[0]


def _chance_of_rims(consensus: Consensus) -> float:
    """Probability that the rims are level rims.

    That of the main rim grows with its support. Each further rim that agrees halves the remaining
    doubt; rims that disagree reduce the probability by their weight.
    """
    best = max(consensus.rims, key=lambda rim: rim.weight)
    doubt = float(np.interp(best.support, SUPPORTS, NOT_A_RIM_PROBABILITIES))
    doubt *= DOUBT_PER_RIM ** (len(consensus.rims) - 1)
    return (1 - doubt) * consensus.share


def _spread_deg(consensus: Consensus, *, focal_length_known: bool) -> float:
    """Standard deviation of the elevation if the rims are level rims."""
    model_error_deg = KNOWN_LENS_ERROR_DEG if focal_length_known else ASSUMED_LENS_ERROR_DEG
    return float(np.hypot(consensus.error_deg, model_error_deg))
