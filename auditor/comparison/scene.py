"""Camera elevation, light direction, diagonal and negative space."""

from __future__ import annotations

from collections.abc import Iterator

from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.verdicts import (
    probability_within_round,
    standard_deviation,
    verdict_of,
    verdict_on_direction,
    verdict_on_quantity,
    verdict_on_word,
)
from auditor.geometry import clock_difference_hours, fold_angle_deg
from auditor.measurements.diagonal import Diagonal
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.negative_space import NegativeSpace
from auditor.plan.shot_plan import Intent, Tolerances
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.values import Angle, Clock, Fraction, Words
from auditor.vocabulary.diagonals import DiagonalWord, slope_word
from auditor.vocabulary.sides import Side

_DIAL_H = 12.0
_LINE_TURN_DEG = 180.0  # a line without direction is the same after half a turn
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
    found = measured.diagonal
    if intent.diagonal is not None:
        yield _diagonal_in_words(intent.diagonal, found)
    if intent.diagonal_deg is not None:
        yield _diagonal_in_degrees(intent.diagonal_deg, found, tolerances.diagonal)


def _diagonal_in_words(planned: DiagonalWord, found: Quantity[Diagonal]) -> ComparedItem:
    if found.value is not None:
        word = slope_word(found.value.angle_deg)
        verdict = _verdict_on_slope(planned, found.value.angle_deg, found)
        return ComparedItem.of("diagonal", Words(planned), Words(word), verdict)
    if found.reason is Reason.NO_DIAGONAL:
        verdict = Verdict.MET if planned == "none" else Verdict.MISSED
        return ComparedItem.of("diagonal", Words(planned), Words("none"), verdict)
    return ComparedItem.unmeasured("diagonal", Words(planned))


def _verdict_on_slope(
    planned: DiagonalWord, angle_deg: float, found: Quantity[Diagonal]
) -> Verdict:
    if planned == "none":
        return verdict_on_word(planned, slope_word(angle_deg), found)
    middle_deg = _QUARTER_DEG if planned == "rising" else -_QUARTER_DEG
    off_middle_deg = fold_angle_deg(angle_deg - middle_deg)
    within = probability_within_round(
        off_middle_deg, _QUARTER_DEG, standard_deviation(found, 1), _LINE_TURN_DEG
    )
    verdict = verdict_of(off_middle_deg, _QUARTER_DEG, within, found.confidence or 0.0)
    # A line in the other direction is never close to the planned one.
    return Verdict.MISSED if verdict is Verdict.CLOSE else verdict


def _diagonal_in_degrees(
    planned: float, found: Quantity[Diagonal], tolerance: float
) -> ComparedItem:
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
    verdict = Verdict.MISSED if found.reason is Reason.NO_DIAGONAL else Verdict.UNDECIDED
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
    """Compare the share; a positive difference is too much."""
    if found.value is None:
        return ComparedItem.unmeasured("negative_space", Fraction(planned), tolerance=tolerance)
    difference = found.value.fraction - planned
    return ComparedItem.of(
        "negative_space",
        Fraction(planned),
        Fraction(found.value.fraction),
        verdict_on_quantity(difference, tolerance, found),
        difference=difference,
        tolerance=tolerance,
    )


def _side(planned: Side, found: Quantity[NegativeSpace]) -> ComparedItem:
    """Compare the side. Emptiness all around is close to any one side, and the reverse."""
    if found.value is None:
        return ComparedItem.unmeasured("negative_space_side", Words(planned))
    side = found.value.side
    verdict = verdict_on_word(planned, side, found)
    sides = {planned, side}
    if verdict is Verdict.MISSED and "around" in sides and "none" not in sides:
        verdict = Verdict.CLOSE
    return ComparedItem.of("negative_space_side", Words(planned), Words(side), verdict)
