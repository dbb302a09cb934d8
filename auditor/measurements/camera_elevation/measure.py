"""Camera elevation from rims, rectangles and lines of the table, and its confidence."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Ellipse, Point, Tilt
from auditor.line_segments import LineSegments, without_rims
from auditor.measurements.camera_elevation.consensus import (
    Consensus,
    find_consensus,
    pose_of_rim,
    weighted_median,
)
from auditor.measurements.camera_elevation.crop_error import crop_error_deg
from auditor.measurements.camera_elevation.lens import Lens, lens_of
from auditor.measurements.camera_elevation.posterior import doubt_after, reading_of
from auditor.measurements.camera_elevation.rectangle_pose import find_rectangles
from auditor.measurements.camera_elevation.table_lines import TableLines, read_table_lines
from auditor.measurements.camera_elevation.tilt import Frame, tilt_deg, tilts_of_rims
from auditor.quantity import MOST_DOUBT, Quantity, probability_within_tolerance
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
# Sideways lean of a rim's plane, as standard deviations: of a rim with the camera held level, of one
# with the camera rolled, of another thing. On 40 photographs of dishes and 29 rendered tables of the
# teaching family with a lone rim below `STEEP_DEG`, the lean was over 7 degrees for 4 of 8 wrong
# rims and for 1 of 61 right ones.
LEVEL_LEAN_DEG, ROLLED_LEAN_DEG, OTHER_LEAN_DEG = 3.0, 8.0, 9.0
ROLLED_SHARE = 0.1  # of pictures (no source)
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

LEAST_CONFIDENCE = 0.5  # of an elevation from lines alone: with less it may as well be wrong
STEEP_DEG = 65.0  # from here on what faces the camera may stand upright: a window, a print
MIN_STEEP_LINES = 8  # then so many lines are needed: a window has four
Labels = NDArray[np.integer]


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
    lines : tuple of (Point, Point)
        Ends of the straight edges that it was estimated from, where there was neither a rim nor a
        whole rectangle.
    cropped_from : str or None
        Ratio of the frame that the picture was presumably cut from, such as ``"3:2"``; the error
        then includes that of the lens's angle. None if it has the ratio of an exposed frame.
    """

    deg: float
    ellipses: tuple[Ellipse, ...]
    tilts: tuple[Tilt, ...] = ()
    rectangles: tuple[tuple[Point, ...], ...] = ()
    lines: tuple[tuple[Point, Point], ...] = ()
    cropped_from: str | None = None


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
    by_rims = _by_rims(rims, frame, lens)
    if segments is None:
        return by_rims if by_rims.value or not faint else _by_faint(faint, frame, lens)
    straight = without_rims(segments, [ellipse for ellipse, _, _ in rims])
    table = read_table_lines(straight, lens, things)
    by_rims = _checked(by_rims, table)
    if _is_likely(by_rims):
        return by_rims
    by_rectangles = _by_rectangles(straight, frame)
    if by_rectangles is not None:
        return by_rectangles
    by_faint = _checked(_by_faint(faint, frame, lens), table) if faint else by_rims
    best = max((_by_lines(table, lens), by_faint), key=lambda found: found.confidence or 0.0)
    if _is_likely(best):
        return best
    return Quantity.undetermined(by_rims.reason or Reason.NO_ROUND_RIM)


def _is_likely(found: Quantity[CameraElevation]) -> bool:
    return found.value is not None and found.doubt is not None and found.doubt <= MOST_DOUBT


def _checked(
    found: Quantity[CameraElevation], table: TableLines
) -> Quantity[CameraElevation]:
    """The same elevation, more or less doubtful by the straight edges of the picture."""
    if found.value is None or found.spread is None or found.doubt is None:
        return found
    doubt = doubt_after(found.doubt, found.value.deg, found.spread, table.likelihood)
    within = probability_within_tolerance(TOLERANCE_DEG, found.spread)
    return Quantity.measured(
        found.value,
        confidence=(1 - doubt) * within,
        tolerance=TOLERANCE_DEG,
        spread=found.spread,
    )


def _by_lines(table: TableLines, lens: Lens) -> Quantity[CameraElevation]:
    found = reading_of(table.likelihood, TOLERANCE_DEG)
    is_upright = found.deg > STEEP_DEG and len(table.lines) < MIN_STEEP_LINES
    if found.confidence < LEAST_CONFIDENCE or is_upright:
        return Quantity.undetermined(Reason.NO_ROUND_RIM)
    return Quantity.measured(
        CameraElevation(found.deg, (), lines=table.lines, cropped_from=lens.cropped_from),
        confidence=found.confidence,
        tolerance=TOLERANCE_DEG,
        spread=found.spread_deg,
    )


def _by_faint(
    faint: Sequence[tuple[Ellipse, float, float]], frame: Frame, lens: Lens
) -> Quantity[CameraElevation]:
    return _by_rims(faint, frame, lens, FAINT_ERROR_DEG, FAINT_CHANCE)


def _by_rims(
    rims: Sequence[tuple[Ellipse, float, float]],
    frame: Frame,
    lens: Lens,
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
    spread_deg = math.hypot(
        _spread_deg(consensus, focal_length_known=frame.focal_length_is_known),
        crop_error_deg(consensus, lens, frame.width, frame.height),
        further_error_deg,
    )
    within = probability_within_tolerance(TOLERANCE_DEG, spread_deg)
    chance *= 1 - consensus.other_chance
    return Quantity.measured(
        CameraElevation(
            consensus.elevation_deg,
            tuple(rim.ellipse for rim in consensus.rims),
            tilts_of_rims(consensus, frame),
            cropped_from=lens.cropped_from,
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

    That of the main rim grows with its support. A lone rim that leans sideways may be an oval
    thing, turned on the table. Each further rim that agrees halves the remaining doubt; rims that
    disagree reduce the probability by their weight.
    """
    main = max(range(len(consensus.rims)), key=lambda k: consensus.rims[k].weight)
    doubt = float(np.interp(consensus.rims[main].support, SUPPORTS, NOT_A_RIM_PROBABILITIES))
    if len(consensus.rims) == 1 and consensus.elevation_deg < STEEP_DEG:
        odds = doubt / (1 - doubt) * _odds_of_lean(tilt_deg(consensus.planes[main]))
        doubt = odds / (1 + odds)
    doubt *= DOUBT_PER_RIM ** (len(consensus.rims) - 1)
    return (1 - doubt) * consensus.share


def _odds_of_lean(lean_deg: float) -> float:
    """How much more often something that is no level rim leans so far, than a level rim does."""
    level, rolled, other = (
        math.exp(-0.5 * (lean_deg / error_deg) ** 2) / error_deg
        for error_deg in (LEVEL_LEAN_DEG, ROLLED_LEAN_DEG, OTHER_LEAN_DEG)
    )
    return other / ((1 - ROLLED_SHARE) * level + ROLLED_SHARE * rolled)


def _spread_deg(consensus: Consensus, *, focal_length_known: bool) -> float:
    """Standard deviation of the elevation if the rims are level rims."""
    model_error_deg = KNOWN_LENS_ERROR_DEG if focal_length_known else ASSUMED_LENS_ERROR_DEG
    return float(np.hypot(consensus.error_deg, model_error_deg))
