"""What would bring a picture to its plan or to its set, and in which quantities."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from auditor.advice.cropping import best_crop
from auditor.comparison.exposure_cause import is_explained
from auditor.comparison.item import ComparedItem, Verdict
from auditor.geometry import Box
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Shot, Tolerances
from auditor.quantities import QUANTITIES, set_rule
from auditor.series.series import Series

# Turning by less is not worth the corners that are lost (common practice, no source).
LEAST_ROTATION_DEG = 0.7
# A tilt is corrected only if it is more likely than not that there is one.
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
        Planned quantities in which the picture would then be as planned.
    rejoins : tuple of str
        Followed quantities in which the picture would then no longer leave the set.
    """

    kind: AdviceKind
    amount: float
    unit: str
    crop: Box | None = None
    reaches: tuple[str, ...] = ()
    rejoins: tuple[str, ...] = ()


def advise(
    measured: MeasuredPhotograph,
    shot: Shot | None,
    items: Sequence[ComparedItem],
    series: Series,
    tolerances: Tolerances | None,
) -> tuple[Advice, ...]:
    """Advise on one picture; empty if nothing is needed or nothing would help.

    No crop and no turn is advised for a picture with a border, which both would cut into.

    Parameters
    ----------
    measured : MeasuredPhotograph
    shot : Shot or None
        Its shot; None without a plan, or if the plan has none for it.
    items : sequence of ComparedItem
        The picture compared with that shot.
    series : Series
    tolerances : Tolerances or None
        Of the plan; None without a plan.
    """
    has_border = measured.border is not None
    found = (
        None if has_border else _crop(measured, shot, items, tolerances),
        None if has_border else _rotation(measured, series),
        _colour_temperature(measured, items, series),
        _exposure(measured, items, series),
    )
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
        AdviceKind.CROP,
        crop.box.area_fraction,
        "fraction of frame",
        crop=crop.box,
        reaches=crop.reaches,
    )


def _rotation(measured: MeasuredPhotograph, series: Series) -> Advice | None:
    roll = measured.roll
    if roll.value is None or (roll.confidence or 0) < LEAST_ROLL_CONFIDENCE:
        return None
    if abs(roll.value.deg) < max(LEAST_ROTATION_DEG, roll.tolerance or 0):
        return None
    # A line that rises to the right becomes level by a clockwise turn.
    amount = roll.value.deg
    return Advice(
        AdviceKind.ROTATE,
        amount,
        QUANTITIES["roll"].unit,
        rejoins=_rejoined(series, "roll", measured.file, -amount),
    )


def _colour_temperature(
    measured: MeasuredPhotograph, items: Sequence[ComparedItem], series: Series
) -> Advice | None:
    name = "colour_temperature"
    if any(item.on_purpose for item in items if item.quantity == name):
        return None
    off_plan = _missed(items, name)
    off_set = _deviation(series, name, measured.file)
    if off_plan is None and off_set is None:
        return None
    amount = -(off_set or 0.0) if off_plan is None else _shift_to_plan(off_plan, off_set)
    return Advice(
        AdviceKind.COLOUR_TEMPERATURE,
        amount,
        QUANTITIES[name].unit,
        reaches=() if off_plan is None else (name,),
        rejoins=_rejoined(series, name, measured.file, amount),
    )


def _missed(items: Sequence[ComparedItem], quantity: str) -> ComparedItem | None:
    """The item of a quantity if the picture is off its plan in it."""
    for item in items:
        if item.quantity == quantity and item.verdict in (Verdict.MISSED, Verdict.CLOSE):
            return item
    return None


def _shift_to_plan(item: ComparedItem, off_set: float | None) -> float:
    """The shift that brings a picture to its plan.

    The distance from the set is known more precisely than that from the plan. If the set itself is
    as planned, the picture is therefore shifted to the set.
    """
    off_plan = item.difference or 0.0
    if off_set is not None and abs(off_plan - off_set) <= (item.tolerance or 0.0):
        return -off_set
    return -off_plan


def _exposure(
    measured: MeasuredPhotograph, items: Sequence[ComparedItem], series: Series
) -> Advice | None:
    deviation = _deviation(series, "exposure", measured.file)
    if deviation is None:
        return None
    if any(item.on_purpose and is_explained(item, deviation) for item in items):
        return None
    unit = QUANTITIES["exposure"].unit
    return Advice(AdviceKind.EXPOSURE, -deviation, unit, rejoins=("exposure",))


def _rejoined(series: Series, quantity: str, file: str, shift: float) -> tuple[str, ...]:
    """The quantity, if a picture leaves the set in it and would not after a shift by so much."""
    deviation = _deviation(series, quantity, file)
    if deviation is None or abs(deviation + shift) > set_rule(quantity).noticeable:
        return ()
    return (quantity,)


def _deviation(series: Series, quantity: str, file: str) -> float | None:
    """How far a picture lies from the centre of the set; None if it does not leave the set."""
    deviations = (
        outlier.deviation
        for followed in series.quantities
        if followed.quantity == quantity
        for outlier in followed.outliers
        if outlier.file == file
    )
    return next(deviations, None)
