"""Camera elevation, light direction, diagonal and negative space."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from scipy.special import ndtr

from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.verdicts import (
    CLOSE_WITHIN,
    doubt_of,
    probability_within,
    probability_within_round,
    spread_of,
    verdict_of,
    verdict_of_absence,
    verdict_of_chance,
    verdict_on_direction,
    verdict_on_quantity,
)
from auditor.geometry import clock_difference_hours, fold_angle_deg
from auditor.measurements.diagonal import Diagonal
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.negative_space import (
    NO_SPACE_FRACTION,
    SIDE_IMBALANCE,
    Emptiness,
    NegativeSpace,
    doubt_of_pattern,
    sides_of,
)
from auditor.plan.shot_plan import Intent, Tolerances
from auditor.quantity import MOST_DOUBT, Quantity
from auditor.reasons import Reason
from auditor.values import Angle, Clock, Fraction, Words
from auditor.vocabulary.diagonals import DiagonalWord, slope_word
from auditor.vocabulary.sides import Side

_DIAL_H = 12.0
_LINE_TURN_DEG = 180.0  # a line without direction is the same after half a turn
# Spread of the imbalance between two halves of a right reading (no source).
_SIDE_SPREAD = 0.05
_QUARTER_DEG = 45.0  # rising lines are those within 45 degrees of 45, falling ones of -45


def compare_camera_elevation(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare in degrees above the table; a positive difference is too high."""
    planned, tolerance = intent.camera_elevation_deg, tolerances.camera_elevation
    if planned is None:
        return
    found = measured.camera_elevation
    if found.value is None:
        yield ComparedItem.unmeasured("camera_elevation", Angle(planned), tolerance=tolerance)
        return
    difference = found.value.deg - planned
    yield ComparedItem.of(
        "camera_elevation",
        Angle(planned),
        Angle(found.value.deg),
        verdict_on_quantity(difference, tolerance, found),
        difference=difference,
        tolerance=tolerance,
    )


def compare_light(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare in hours on the dial, the shortest way round; a positive difference is clockwise."""
    planned, tolerance = intent.light_clock, tolerances.light
    if planned is None:
        return
    found = measured.light
    if found.value is None:
        yield ComparedItem.unmeasured("light", Clock(planned), tolerance=tolerance)
        return
    difference = clock_difference_hours(found.value.clock, planned)
    yield ComparedItem.of(
        "light",
        Clock(planned),
        Clock(found.value.clock),
        verdict_on_direction(difference, tolerance, found, _DIAL_H),
        difference=difference,
        tolerance=tolerance,
    )


def compare_diagonal(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare a line's direction in words or in degrees; "no diagonal" is a result, too."""
    if intent.diagonal is not None:
        yield _diagonal_in_words(intent.diagonal, measured)
    if intent.diagonal_deg is not None:
        yield _diagonal_in_degrees(intent.diagonal_deg, measured, tolerances.diagonal)


def _diagonal_in_words(planned: DiagonalWord, measured: MeasuredPhotograph) -> ComparedItem:
    found = measured.diagonal
    if found.value is not None:
        word = slope_word(found.value.angle_deg)
        verdict = _verdict_on_slope(planned, found.value.angle_deg, found)
        return ComparedItem.of("diagonal", Words(planned), Words(word), verdict)
    if found.reason is Reason.NO_DIAGONAL:
        is_met = planned == "none"
        verdict = Verdict.MET if is_met else _verdict_on_none(planned == "rising", measured)
        return ComparedItem.of("diagonal", Words(planned), Words("none"), verdict)
    return ComparedItem.unmeasured("diagonal", Words(planned))


def _verdict_on_slope(
    planned: DiagonalWord, angle_deg: float, found: Quantity[Diagonal]
) -> Verdict:
    if planned == "none":
        return Verdict.UNDECIDED if doubt_of(found) > MOST_DOUBT else Verdict.MISSED
    middle_deg = _QUARTER_DEG if planned == "rising" else -_QUARTER_DEG
    off_middle_deg = fold_angle_deg(angle_deg - middle_deg)
    within = probability_within_round(
        off_middle_deg, _QUARTER_DEG, spread_of(found), _LINE_TURN_DEG
    )
    verdict = verdict_of(off_middle_deg, _QUARTER_DEG, within, doubt_of(found))
    # A line in the other direction is never close to the planned one.
    return Verdict.MISSED if verdict is Verdict.CLOSE else verdict


def _verdict_on_none(is_rising: bool, measured: MeasuredPhotograph) -> Verdict:
    """The verdict where no diagonal was found, from how likely a viewer sees the planned one."""
    unseen = measured.unseen_diagonals
    return verdict_of_absence(unseen.rising if is_rising else unseen.falling)


def _diagonal_in_degrees(
    planned: float, measured: MeasuredPhotograph, tolerance: float
) -> ComparedItem:
    found = measured.diagonal
    if found.value is not None:
        difference = fold_angle_deg(found.value.angle_deg - planned)
        return ComparedItem.of(
            "diagonal",
            Angle(planned),
            Angle(found.value.angle_deg),
            verdict_on_direction(difference, tolerance, found, _LINE_TURN_DEG),
            difference=difference,
            tolerance=tolerance,
        )
    is_none = found.reason is Reason.NO_DIAGONAL
    verdict = _verdict_on_none(planned > 0, measured) if is_none else Verdict.UNDECIDED
    return ComparedItem.of("diagonal", Angle(planned), None, verdict, tolerance=tolerance)


def compare_negative_space(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare the share of the frame that stays empty, and on which side most of it lies."""
    found = measured.negative_space
    if intent.negative_space_fraction is not None:
        yield _fraction(intent.negative_space_fraction, found, tolerances.negative_space)
    if intent.negative_space_side is not None:
        yield _side(intent.negative_space_side, found)


def _fraction(planned: float, found: Quantity[NegativeSpace], tolerance: float) -> ComparedItem:
    """Compare the share; a positive difference is too much.

    Where patterned ground makes a difference, the plan may mean the share with or without it.
    """
    space = found.value
    if space is None:
        return ComparedItem.unmeasured("negative_space", Fraction(planned), tolerance=tolerance)
    difference = space.fraction - planned
    within = _mean_of_views(
        space,
        lambda view: probability_within(view.fraction - planned, tolerance, spread_of(found)),
    )
    return ComparedItem.of(
        "negative_space",
        Fraction(planned),
        Fraction(space.fraction),
        verdict_of(difference, tolerance, within, _doubt_of_things(found, space)),
        difference=difference,
        tolerance=tolerance,
    )


def _mean_of_views(space: NegativeSpace, chance: Callable[[Emptiness], float]) -> float:
    """A probability over both views of patterned ground."""
    whole, plain = space.views
    doubt = doubt_of_pattern(space)
    return (1 - doubt) * chance(whole) + doubt * chance(plain)


def _doubt_of_things(found: Quantity[NegativeSpace], space: NegativeSpace) -> float:
    """Doubt without that of the pattern, which `_mean_of_views` takes into account."""
    return 1 - (1 - doubt_of(found)) / (1 - doubt_of_pattern(space))


def _side(planned: Side, found: Quantity[NegativeSpace]) -> ComparedItem:
    """Compare the side by how much more of the emptiness lies there than opposite.

    Two sides can have more at once: emptiness at the upper left is on the left and at the top.
    Emptiness on both sides is close to any one side, and the reverse.
    """
    space = found.value
    if space is None:
        return ComparedItem.unmeasured("negative_space_side", Words(planned))
    spread = spread_of(found)
    within = _mean_of_views(space, lambda view: _chance_of_side(planned, view, spread))
    verdict = verdict_of_chance(within, _doubt_of_things(found, space))
    is_seen = planned in sides_of(space.whole)
    is_meant = space.is_patterned and planned in sides_of(space.views[1])
    # The sides that the record names and the verdict must not contradict each other.
    if (is_seen or is_meant) != (verdict is Verdict.MET):
        verdict = Verdict.UNDECIDED
    elif verdict is Verdict.MISSED and _is_side_close(planned, space):
        verdict = Verdict.CLOSE
    shown = planned if is_seen or verdict is Verdict.MET else space.side
    return ComparedItem.of("negative_space_side", Words(planned), Words(shown), verdict)


def _towards(side: Side, space: Emptiness) -> float:
    """How much more of the emptiness lies on one of the four sides than opposite."""
    return {
        "right": space.to_right,
        "left": -space.to_right,
        "bottom": space.to_bottom,
        "top": -space.to_bottom,
    }[side]


def _chance_of_side(planned: Side, space: Emptiness, spread: float) -> float:
    """Probability that the emptiness lies on the planned side, if the reading is right.

    `spread` is that of the fraction.
    """
    is_some = float(ndtr((space.fraction - NO_SPACE_FRACTION) / spread))
    if planned == "none":
        return 1 - is_some
    if planned == "around":
        most = max(abs(space.to_right), abs(space.to_bottom))
        return is_some * float(ndtr((SIDE_IMBALANCE - most) / _SIDE_SPREAD))
    return is_some * float(ndtr((_towards(planned, space) - SIDE_IMBALANCE) / _SIDE_SPREAD))


def _is_side_close(planned: Side, space: NegativeSpace) -> bool:
    if planned == "none":
        return space.fraction < CLOSE_WITHIN * NO_SPACE_FRACTION
    if space.side == "none":
        return False
    if planned == "around":
        return max(abs(space.to_right), abs(space.to_bottom)) < 2 * SIDE_IMBALANCE
    return _towards(planned, space.whole) >= 0
