"""What was tried and helps, as advice."""

from __future__ import annotations

from auditor.advice.advice import Advice, AdviceKind
from auditor.advice.case import Case
from auditor.advice.costs import costs_of
from auditor.advice.trying import PictureTrials, Tried, choose, is_combined
from auditor.corrections import WHOLE_FRAME, Change
from auditor.quantities import QUANTITIES
from auditor.series.series import Series

FRACTION = "fraction of frame"


def offered(
    trials: PictureTrials, series: Series, least_sides_px: tuple[int, int] | None
) -> tuple[Advice, ...]:
    """The advice for one picture.

    Parameters
    ----------
    trials : PictureTrials
    series : Series
        The set as it is.
    least_sides_px : tuple of int or None
        Pixels that the longer and the shorter side must have for the delivery; None if nothing is
        asked.
    """
    before = _kelvin(series, trials.case.measured.file)
    return tuple(_advice(one, trials.case, before, least_sides_px) for one in choose(trials))


def _advice(
    one: Tried, case: Case, kelvin_before: float | None, least_sides_px: tuple[int, int] | None
) -> Advice:
    judged = one.judged
    change, measured = judged.change, case.measured
    kind, amount, unit = _main(change, is_combined(one))
    kelvin_after = _kelvin(one.series, measured.file)
    is_known = bool(change.mired) and kelvin_before is not None and kelvin_after is not None
    width, height = change.size_px(measured.width, measured.height)
    return Advice(
        kind,
        amount,
        unit,
        crop=None if change.crop == WHOLE_FRAME else change.crop,
        reaches=tuple(dict.fromkeys(quantity for quantity, _ in judged.reaches)),
        rejoins=judged.rejoins,
        levels=judged.levels,
        change=change,
        width=width,
        height=height,
        costs=costs_of(case, change, judged.after, least_sides_px),
        kelvin=(kelvin_before or 0.0, kelvin_after or 0.0) if is_known else None,
    )


def _main(change: Change, combined: bool) -> tuple[AdviceKind, float, str]:
    """Kind, main number and its unit."""
    if combined:
        return AdviceKind.COMBINED, change.crop.area_fraction, FRACTION
    if change.turn_deg:
        return AdviceKind.ROTATE, change.turn_deg, QUANTITIES["roll"].unit
    if change.crop != WHOLE_FRAME:
        return AdviceKind.CROP, change.crop.area_fraction, FRACTION
    if change.mired:
        unit = QUANTITIES["colour_temperature"].unit
        return AdviceKind.COLOUR_TEMPERATURE, change.mired, unit
    if change.exposure_ev:
        return AdviceKind.EXPOSURE, change.exposure_ev, QUANTITIES["exposure"].unit
    return AdviceKind.SATURATION, change.saturation, "times"


def _kelvin(series: Series, file: str) -> float | None:
    known = series.temperature_of.get(file)
    if known is None or known.quantity.value is None:
        return None
    return 1e6 / known.quantity.value
