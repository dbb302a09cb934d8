"""Camera, light, line and emptiness: elevation, light, diagonal, negative space."""

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

_DIAL_H = 12.0
_LINE_TURN_DEG = 180.0  # an undirected line is the same after half a turn
_QUARTER_DEG = 45.0  # rising lines are those within 45 degrees of 45, falling ones of -45


def compare_camera_elevation(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Degrees above the table; positive differences are from too high."""
    planned, tolerance = intent.camera_elevation_deg, tolerances.camera_elevation
    if planned is None:
        return
    found = measured.camera_elevation
    if found.value is None:
        yield ComparedItem.unmeasured("camera_elevation", planned, tolerance, "deg")
        return
    difference = found.value.deg - planned
    yield ComparedItem(
        quantity="camera_elevation",
        planned=planned,
        measured=found.value.deg,
        difference=difference,
        tolerance=tolerance,
        unit="deg",
        verdict=verdict_on_quantity(difference, tolerance, found),
    )


def compare_light(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Hours on the dial, the shortest way round; positive differences are clockwise."""
    planned, tolerance = intent.light_clock, tolerances.light
    if planned is None:
        return
    found = measured.light
    if found.value is None:
        yield ComparedItem.unmeasured("light", planned, tolerance, "h")
        return
    difference = clock_difference_hours(found.value.clock, planned)
    yield ComparedItem(
        quantity="light",
        planned=planned,
        measured=found.value.clock,
        difference=difference,
        tolerance=tolerance,
        unit="h",
        verdict=verdict_on_direction(difference, tolerance, found, _DIAL_H),
    )


def compare_diagonal(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """A line's direction in words or degrees; that there is none is a finding, too."""
    planned = intent.diagonal
    if planned is None:
        return
    if isinstance(planned, str):
        yield _diagonal_in_words(planned, measured.diagonal)
    else:
        yield _diagonal_in_degrees(planned, measured.diagonal, tolerances.diagonal)


def _diagonal_in_words(planned: str, found: Quantity[Diagonal]) -> ComparedItem:
    if found.value is None:
        return _no_diagonal(planned, found, None, "")
    measured = "rising" if found.value.angle_deg > 0 else "falling"
    if planned == "none":
        verdict = verdict_on_word(planned, measured, found)
    else:
        middle_deg = _QUARTER_DEG if planned == "rising" else -_QUARTER_DEG
        off_middle_deg = fold_angle_deg(found.value.angle_deg - middle_deg)
        within = probability_within_round(
            off_middle_deg, _QUARTER_DEG, standard_deviation(found, 1), _LINE_TURN_DEG
        )
        verdict = verdict_of(off_middle_deg, _QUARTER_DEG, within, found.confidence or 0.0)
        if verdict is Verdict.CLOSE:  # the other direction is never nearly this one
            verdict = Verdict.MISSED
    return ComparedItem("diagonal", planned, measured, None, None, "", verdict)


def _diagonal_in_degrees(
    planned: float, found: Quantity[Diagonal], tolerance: float
) -> ComparedItem:
    if found.value is None:
        return _no_diagonal(planned, found, tolerance, "deg")
    difference = fold_angle_deg(found.value.angle_deg - planned)
    return ComparedItem(
        quantity="diagonal",
        planned=planned,
        measured=found.value.angle_deg,
        difference=difference,
        tolerance=tolerance,
        unit="deg",
        verdict=verdict_on_direction(difference, tolerance, found, _LINE_TURN_DEG),
    )


def _no_diagonal(
    planned: str | float, found: Quantity[Diagonal], tolerance: float | None, unit: str
) -> ComparedItem:
    if found.reason is not Reason.NO_DIAGONAL:
        return ComparedItem.unmeasured("diagonal", planned, tolerance, unit)
    verdict = Verdict.MET if planned == "none" else Verdict.MISSED
    return ComparedItem("diagonal", planned, "none", None, tolerance, unit, verdict)


def compare_negative_space(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Share of the frame that stays empty (positive differences are too much), and its side."""
    found = measured.negative_space
    fraction, side = intent.negative_space_fraction, intent.negative_space_side
    tolerance, unit = tolerances.negative_space, "fraction of frame"
    if fraction is not None and found.value is None:
        yield ComparedItem.unmeasured("negative_space", fraction, tolerance, unit)
    elif fraction is not None and found.value is not None:
        difference = found.value.fraction - fraction
        yield ComparedItem(
            quantity="negative_space",
            planned=fraction,
            measured=found.value.fraction,
            difference=difference,
            tolerance=tolerance,
            unit=unit,
            verdict=verdict_on_quantity(difference, tolerance, found),
        )
    if side is not None and found.value is None:
        yield ComparedItem.unmeasured("negative_space_side", side, None, "")
    elif side is not None and found.value is not None:
        verdict = _verdict_on_side(side, found.value.side, found)
        yield ComparedItem("negative_space_side", side, found.value.side, None, None, "", verdict)


def _verdict_on_side(planned: str, measured: str, found: Quantity[NegativeSpace]) -> Verdict:
    """Emptiness all around includes the planned side, so it is close to it, and the reverse."""
    verdict = verdict_on_word(planned, measured, found)
    if (
        verdict is Verdict.MISSED
        and "around" in (planned, measured)
        and "none"
        not in (
            planned,
            measured,
        )
    ):
        return Verdict.CLOSE
    return verdict
