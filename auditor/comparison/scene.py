"""Camera elevation, light direction, diagonal and negative space."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from scipy.special import ndtr

from auditor.accepted import Accepted
from auditor.comparison.accepted_range import compare_number
from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.verdicts import (
    CLOSE_WITHIN,
    doubt_of,
    probability_accepted,
    probability_within_round,
    spread_of,
    tolerance_beyond,
    verdict_of,
    verdict_of_absence,
    verdict_of_chance,
    verdict_on_direction,
)
from auditor.geometry import fold_angle_deg
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
    if intent.camera_elevation is None:
        return
    found = measured.camera_elevation
    yield compare_number(
        "camera_elevation",
        intent.camera_elevation,
        None if found.value is None else found.value.deg,
        tolerances.camera_elevation,
        Angle,
        spread=spread_of(found),
        doubt=doubt_of(found),
    )


def compare_light(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare in hours on the dial, the shortest way round; a positive difference is clockwise."""
    if intent.light is None:
        return
    found = measured.light
    yield compare_number(
        "light",
        intent.light,
        None if found.value is None else found.value.clock,
        tolerances.light,
        Clock,
        spread=spread_of(found),
        doubt=doubt_of(found),
        period=_DIAL_H,
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
    if intent.negative_space is not None:
        yield _fraction(intent.negative_space, found, tolerances.negative_space)
    if intent.negative_space_sides:
        yield _side(intent.negative_space_sides, found)


def _fraction(accepted: Accepted, found: Quantity[NegativeSpace], tolerance: float) -> ComparedItem:
    """Compare the share; a positive difference is too much.

    Where patterned ground makes a difference, the plan may mean the share with or without it.
    """
    space, planned = found.value, Fraction(accepted.nominal)
    allowed = tolerance_beyond(accepted, tolerance)
    if space is None:
        return ComparedItem.unmeasured(
            "negative_space", planned, tolerance=allowed, accepted=accepted
        )
    difference = accepted.beyond(space.fraction)
    within = _mean_of_views(
        space,
        lambda view: probability_accepted(accepted, view.fraction, allowed, spread_of(found)),
    )
    return ComparedItem.of(
        "negative_space",
        planned,
        Fraction(space.fraction),
        verdict_of(difference, allowed, within, _doubt_of_things(found, space)),
        difference=difference,
        tolerance=allowed,
        accepted=accepted,
    )


def _mean_of_views(space: NegativeSpace, chance: Callable[[Emptiness], float]) -> float:
    """A probability over both views of patterned ground."""
    whole, plain = space.views
    doubt = doubt_of_pattern(space)
    return (1 - doubt) * chance(whole) + doubt * chance(plain)


def _doubt_of_things(found: Quantity[NegativeSpace], space: NegativeSpace) -> float:
    """Doubt without that of the pattern, which `_mean_of_views` takes into account."""
    return 1 - (1 - doubt_of(found)) / (1 - doubt_of_pattern(space))


def _side(planned: tuple[Side, ...], found: Quantity[NegativeSpace]) -> ComparedItem:
    """Compare the side by how much more of the emptiness lies there than opposite.

    Two sides can have more at once: emptiness at the upper left is on the left and at the top.
    Emptiness on both sides is close to any one side, and the reverse. Of several planned sides one
    has to be empty.
    """
    space = found.value
    wanted = Words(" or ".join(planned))
    if space is None:
        return ComparedItem.unmeasured("negative_space_side", wanted)
    spread = spread_of(found)
    within = _mean_of_views(
        space, lambda view: max(_chance_of_side(side, view, spread) for side in planned)
    )
    verdict = verdict_of_chance(within, _doubt_of_things(found, space))
    seen = [side for side in planned if side in sides_of(space.whole)]
    is_meant = space.is_patterned and bool({*planned} & {*sides_of(space.views[1])})
    # The sides that the record names and the verdict must not contradict each other.
    if (bool(seen) or is_meant) != (verdict is Verdict.MET):
        verdict = Verdict.UNDECIDED
    elif verdict is Verdict.MISSED and any(_is_side_close(side, space) for side in planned):
        verdict = Verdict.CLOSE
    shown = seen[0] if seen else planned[0] if verdict is Verdict.MET else space.side
    return ComparedItem.of("negative_space_side", wanted, Words(shown), verdict)


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
