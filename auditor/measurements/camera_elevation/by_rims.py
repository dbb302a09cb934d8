"""Camera elevation from the rims of round dishes, and its confidence."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from auditor.geometry import Ellipse
from auditor.measurements.camera_elevation.consensus import (
    Consensus,
    find_consensus,
    pose_of_rim,
)
from auditor.measurements.camera_elevation.crop_error import crop_error_deg
from auditor.measurements.camera_elevation.elevation import TOLERANCE_DEG, CameraElevation
from auditor.measurements.camera_elevation.lens import Lens
from auditor.measurements.camera_elevation.overhead import near_overhead
from auditor.measurements.camera_elevation.tilt import Frame, tilt_deg, tilts_of_rims
from auditor.quantity import Quantity, probability_within_tolerance
from auditor.reasons import Reason

ROUND_RATIO = 0.9  # axis ratio above which it may be a ball: an orange is round from everywhere
MIN_ROUND_FRACTION = 0.1  # semi-axis, of the diagonal, below which a round thing may be a ball
MIN_AGREEING_SHARE = 0.55  # of the weight; below it the rims disagree

# Probability, by support, that a rim is not the level rim of a dish. Judged by eye on 167
# photographs of dishes, where 5 of 120 rims were wrong. On 58 other rendered tables the confidence
# was 0.82 to 0.98 (by quarters) and the share of correct answers 0.93 to 1.00.
SUPPORTS = (0.55, 0.75, 0.95)
NOT_A_RIM_PROBABILITIES = (0.3, 0.15, 0.02)
# Sideways lean of a rim's plane, as standard deviations: of a rim with the camera held level, of
# one with the camera rolled, of another thing. Of lone rims below `STEEP_DEG` on 67 photographs of
# dishes and 65 rendered tables of the teaching family, 4 of 7 wrong ones leant by more than 7
# degrees, and 1 of 43 right ones.
LEVEL_LEAN_DEG, ROLLED_LEAN_DEG, OTHER_LEAN_DEG = 3.0, 8.0, 9.0
ROLLED_SHARE = 0.1  # of pictures (no source)
# A lone rim with a smaller semi-axis (of the diagonal) may be food: of the same rims, 2 of 5 small
# ones were wrong and 5 of 45 others. The odds are smaller than that, as these are few.
SMALL_FRACTION, ODDS_OF_SMALL = 0.1, 3.0
DOUBT_PER_RIM = 0.5  # factor for each further rim that agrees; no source
KNOWN_LENS_ERROR_DEG = 2.5  # dishes not quite level, optical axis off the centre of a crop
ASSUMED_LENS_ERROR_DEG = 4.5  # a dish 0.1 diagonals off the centre, 28 mm or 100 mm for 50 mm
# Further error of faint rims, and probability that they are rims at all: on 9 photographs of dishes
# one elevation was wrong altogether, the others differed by 6 degrees (root mean square); on 3
# photographs from the side (ECUSTFD) all were right.
FAINT_ERROR_DEG, FAINT_CHANCE = 7.0, 0.93
STEEP_DEG = 65.0  # above it a rim is so round that its lean says little


def by_rims(
    rims: Sequence[tuple[Ellipse, float, float]],
    frame: Frame,
    lens: Lens,
    further_error_deg: float = 0.0,
    chance: float = 1.0,
) -> Quantity[CameraElevation]:
    """Estimate the elevation from rims.

    Parameters
    ----------
    rims : sequence of (Ellipse, float, float)
        Ellipse, support and standard error of the axis ratio of each rim.
    frame : Frame
    lens : Lens
    further_error_deg : float
        Standard error besides those of the fit, the lens and the crop.
    chance : float
        Probability that they are rims at all, besides that by their support.
    """
    poses = [
        pose_of_rim(ellipse, support, error, (frame.width, frame.height), frame.focal_length)
        for ellipse, support, error in _without_balls(rims)
    ]
    if not poses:
        return Quantity.undetermined(Reason.NO_ROUND_RIM)
    consensus = find_consensus(poses)
    if consensus.share < MIN_AGREEING_SHARE:
        return Quantity.undetermined(Reason.RIMS_DISAGREE)
    mean_deg, error_deg = near_overhead(
        consensus.elevation_deg, consensus.error_deg, len(consensus.rims)
    )
    spread_deg = math.hypot(
        error_deg,
        KNOWN_LENS_ERROR_DEG if frame.focal_length_is_known else ASSUMED_LENS_ERROR_DEG,
        crop_error_deg(consensus, lens, frame.width, frame.height),
        further_error_deg,
    )
    within = probability_within_tolerance(TOLERANCE_DEG, spread_deg)
    chance *= 1 - consensus.other_chance
    return Quantity.measured(
        CameraElevation(
            mean_deg,
            tuple(rim.ellipse for rim in consensus.rims),
            tilts_of_rims(consensus, frame),
            cropped_from=lens.cropped_from,
        ),
        confidence=chance * _chance_of_rims(consensus) * within,
        tolerance=TOLERANCE_DEG,
        spread=spread_deg,
    )


def by_faint_rims(
    faint: Sequence[tuple[Ellipse, float, float]], frame: Frame, lens: Lens
) -> Quantity[CameraElevation]:
    """Estimate the elevation from rims with less support than a rim needs."""
    return by_rims(faint, frame, lens, FAINT_ERROR_DEG, FAINT_CHANCE)


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
    thing, turned on the table; a small one may be food. Each further rim that agrees halves the
    remaining doubt; rims that disagree reduce the probability by their weight.
    """
    main = max(range(len(consensus.rims)), key=lambda k: consensus.rims[k].weight)
    doubt = float(np.interp(consensus.rims[main].support, SUPPORTS, NOT_A_RIM_PROBABILITIES))
    if len(consensus.rims) == 1 and consensus.elevation_deg < STEEP_DEG:
        odds = doubt / (1 - doubt) * _odds_of_lean(tilt_deg(consensus.planes[main]))
        if _semi_major(consensus.rims[main].ellipse) < SMALL_FRACTION:
            odds *= ODDS_OF_SMALL
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
