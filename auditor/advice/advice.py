"""What would bring a picture to its plan or to its series, and what that would reach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from auditor.advice.cropping import best_crop
from auditor.comparison.compare import ComparedItem, Verdict
from auditor.geometry import Box
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Shot, Tolerances
from auditor.series.series import Series

# Less tilt than this is not worth losing the corners for (common practice, no source).
LEAST_ROTATION_DEG = 0.7
# A tilt is only mended where it is more likely than not that there is one.
LEAST_ROLL_CONFIDENCE = 0.6


class AdviceKind(StrEnum):
    """What can be done to a finished picture."""

    CROP = "crop"
    ROTATE = "rotate"
    COLOUR_TEMPERATURE = "colour temperature"
    EXPOSURE = "exposure"


@dataclass(frozen=True, slots=True)
class Advice:
    """One thing to do.

    Attributes
    ----------
    kind : AdviceKind
    amount : float
        crop: share of the frame that is kept; rotate: degrees, clockwise positive; colour
        temperature: mired to add to the picture's (positive is warmer); exposure: EV to add.
    unit : str
        ``"fraction of frame"``, ``"deg"``, ``"mired"`` or ``"EV"``.
    crop : Box or None
        The rectangle to keep, for a crop.
    reaches : tuple of str
        Quantities that would then be met (names as in `ComparedItem.quantity`, or ``series: ``
        and the name of the series' quantity).
    """

    kind: AdviceKind
    amount: float
    unit: str
    crop: Box | None
    reaches: tuple[str, ...]


def advise(
    measured: MeasuredPhotograph,
    shot: Shot | None,
    items: Sequence[ComparedItem],
    series: Series,
    tolerances: Tolerances | None,
) -> tuple[Advice, ...]:
    """Say what would help one picture; empty where nothing would or nothing is needed.

    Parameters
    ----------
    measured : MeasuredPhotograph
    shot : Shot or None
        Its shot, where there is a plan and the plan has one for it.
    items : sequence of ComparedItem
        The picture beside that shot.
    series : Series
    tolerances : Tolerances or None
        Of the plan; None where there is none.
    """
    found = [
        _crop(measured, shot, items, tolerances),
        _rotation(measured),
        _colour_temperature(measured, items, series),
        _exposure(measured, series),
    ]
    return tuple(advice for advice in found if advice is not None)


def _crop(
    measured: MeasuredPhotograph,
    shot: Shot | None,
    items: Sequence[ComparedItem],
    tolerances: Tolerances | None,
) -> Advice | None:
    if shot is None or tolerances is None:
        return None
    crop = best_crop(measured, shot, items, tolerances)
    if crop is None:
        return None
    return Advice(
        AdviceKind.CROP, crop.box.area_fraction, "fraction of frame", crop.box, crop.reaches
    )


def _rotation(measured: MeasuredPhotograph) -> Advice | None:
    roll = measured.roll
    if roll.value is None or (roll.confidence or 0) < LEAST_ROLL_CONFIDENCE:
        return None
    if abs(roll.value.deg) < max(LEAST_ROTATION_DEG, roll.tolerance or 0):
        return None
    # What rises to the right comes level by turning clockwise.
    return Advice(AdviceKind.ROTATE, roll.value.deg, "deg", None, ("roll",))


def _colour_temperature(
    measured: MeasuredPhotograph, items: Sequence[ComparedItem], series: Series
) -> Advice | None:
    off_plan = next(
        (
            item
            for item in items
            if item.quantity == "colour_temperature"
            and item.verdict in (Verdict.MISSED, Verdict.CLOSE)
        ),
        None,
    )
    off_series = _deviation(series, "colour_temperature", measured.file)
    if off_plan is not None and off_plan.difference is not None:
        reaches, amount = ["colour_temperature"], -off_plan.difference
        if off_series is not None and off_series * off_plan.difference > 0:
            # A shift to the plan is also one to the series where both lie on the same side. How
            # far the series is away is known better, so that counts where it is as planned itself.
            reaches.append("series: colour_temperature")
            if abs(off_plan.difference - off_series) <= (off_plan.tolerance or 0.0):
                amount = -off_series
    elif off_series is not None:
        reaches, amount = ["series: colour_temperature"], -off_series
    else:
        return None
    return Advice(AdviceKind.COLOUR_TEMPERATURE, amount, "mired", None, tuple(reaches))


def _exposure(measured: MeasuredPhotograph, series: Series) -> Advice | None:
    deviation = _deviation(series, "exposure", measured.file)
    if deviation is None:
        return None
    return Advice(AdviceKind.EXPOSURE, -deviation, "EV", None, ("series: exposure",))


def _deviation(series: Series, quantity: str, file: str) -> float | None:
    """How far a picture lies from the set's centre, where it is an outlier."""
    for followed in series.quantities:
        if followed.quantity == quantity:
            for outlier in followed.outliers:
                if outlier.file == file:
                    return outlier.deviation
    return None
