"""Cases for tests: a picture beside its shot and its set, and trials that need no pixels."""

import dataclasses

from auditor.advice.case import make_case
from auditor.advice.offering import offered
from auditor.advice.trying import proof_of, try_corrections
from auditor.comparison.compare import compare
from auditor.measurements.roll import Roll
from auditor.plan.shot_plan import DEFAULT_TOLERANCES
from auditor.quantity import Quantity
from auditor.series.series import describe_series
from tests.factories import colour_temperature


def case_of(measured, shot=None, series=None):
    series = series or describe_series([measured])
    items = () if shot is None else compare(shot, measured, DEFAULT_TOLERANCES)
    return make_case(measured, shot, items, series, None if shot is None else DEFAULT_TOLERANCES)


def temperature(mired):
    return Quantity.measured(colour_temperature(1e6 / mired), confidence=0.97, tolerance=10.0)


def roll(deg, confidence=0.9):
    return Quantity.measured(Roll(deg), confidence=confidence, tolerance=1.0)


def developed(measured, change, strength=1.0):
    """What would be measured after a change of turn and colours, of which `strength` arrives."""
    fields = {}
    if change.turn_deg and measured.roll.value is not None:
        left = measured.roll.value.deg - strength * change.turn_deg
        fields["roll"] = roll(left, measured.roll.confidence)
    if change.mired and measured.colour_temperature.value is not None:
        mired = measured.colour_temperature.value.mired
        fields["colour_temperature"] = temperature(mired + strength * change.mired)
    if change.exposure_ev:
        ev = strength * change.exposure_ev
        fields["tone"] = dataclasses.replace(
            measured.tone,
            exposure_ev=measured.tone.exposure_ev + ev,
            midtone_ev=measured.tone.midtone_ev + ev,
            clipped_highlights=measured.tone.clipped_highlights + max(0.0, ev) / 20,
        )
    width, height = change.size_px(measured.width, measured.height)
    return dataclasses.replace(measured, width=width, height=height, **fields)


def advised(
    picture,
    rest=(),
    shot=None,
    after=developed,
    least_sides_px=None,
    all_tried=None,
    describe=describe_series,
):
    """Advice on one picture beside others, and its proof; `after` stands for the measurement."""
    everyone = [*rest, picture]
    series = describe(everyone)

    def try_changes(changes):
        assert set(changes) <= {picture.file}
        if all_tried is not None:
            all_tried.extend(change for wanted in changes.values() for change in wanted)
        return {file: tuple(after(picture, one) for one in own) for file, own in changes.items()}

    case = case_of(picture, shot, series)
    trials = try_corrections([case], series, everyone, try_changes, describe)
    one = trials.get(picture.file)
    if one is None:
        return (), None
    proof = proof_of(one)
    return offered(one, series, least_sides_px), None if proof is None else proof.judged.change
