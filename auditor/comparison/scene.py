"""Camera elevation, light direction and diagonal."""

from __future__ import annotations

from collections.abc import Iterator

from auditor.accepted import Accepted
from auditor.comparison.accepted_range import compare_number
from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.verdicts import (
    BEST_FIRST,
    MET_BY_CHANCE,
    doubt_of,
    probability_within_round,
    spread_of,
    verdict_of,
    verdict_of_absence,
    verdict_on_direction,
)
from auditor.geometry import fold_angle_deg
from auditor.measurements.diagonal import Diagonal
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, Tolerances
from auditor.quantity import MOST_DOUBT, Quantity
from auditor.reasons import Reason
from auditor.values import Angle, Clock, Words
from auditor.vocabulary.diagonals import DiagonalWord, slope_word
from auditor.vocabulary.light import FROM_ABOVE, NO_SIDE, light_words

_DIAL_H = 12.0
_LINE_TURN_DEG = 180.0  # a line without direction is the same after half a turn
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
    """Compare in hours on the dial, the shortest way round; a positive difference is clockwise.

    Where light from above will do, too, the better of both verdicts counts.
    """
    items = []
    if intent.light is not None:
        items.append(_light_on_dial(intent.light, measured, tolerances.light))
    if intent.light_from_above:
        items.append(_light_from_above(measured))
    if items:
        yield min(items, key=lambda item: BEST_FIRST.index(item.verdict))


def _light_on_dial(
    planned: Accepted, measured: MeasuredPhotograph, tolerance: float
) -> ComparedItem:
    found = measured.light
    return compare_number(
        "light",
        planned,
        None if found.value is None else found.value.clock,
        tolerance,
        Clock,
        spread=spread_of(found),
        doubt=doubt_of(found),
        period=_DIAL_H,
    )


def _light_from_above(measured: MeasuredPhotograph) -> ComparedItem:
    """Compare light from above, which a picture shows by having no light from a side."""
    found, planned = measured.light, Words(FROM_ABOVE)
    if found.value is not None:
        seen = Words(light_words(found.value.clock))
        return ComparedItem.of(
            "light", planned, seen, verdict_of_absence(MET_BY_CHANCE * doubt_of(found))
        )
    if found.reason is Reason.FLAT_LIGHT:
        return ComparedItem.of("light", planned, Words(NO_SIDE), Verdict.MET)
    return ComparedItem.of("light", planned, None, Verdict.UNDECIDED)


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
