"""What would bring a picture back, and in which quantities."""

import dataclasses

import pytest

from auditor.advice.advice import AdviceKind, advise
from auditor.comparison.compare import compare
from auditor.comparison.item import ComparedItem, Verdict
from auditor.geometry import Box
from auditor.measurements.additions import Border
from auditor.measurements.roll import Roll
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Purpose, Shot
from auditor.quantities import FOLLOWED, PLANNED
from auditor.quantity import Quantity
from auditor.series.series import describe_series
from auditor.values import Colours
from tests.factories import colour_temperature, measured_photograph, tone
from tests.intents import intent_with


def temperature(mired):
    return Quantity.measured(colour_temperature(1e6 / mired), confidence=0.97, tolerance=10.0)


def roll(deg, confidence=0.9):
    return Quantity.measured(Roll(deg), confidence=confidence, tolerance=1.0)


def advised(picture, intent=None, on_purpose=(), **of_the_rest):
    """Advice on the last of eight pictures."""
    rest = [measured_photograph(file=f"{n}.jpg", **of_the_rest) for n in range(7)]
    series = describe_series([*rest, picture])
    if intent is None:
        return advise(picture, None, (), series, None)
    shot = Shot("a shot", ("*",), intent, on_purpose)
    items = compare(shot, picture, DEFAULT_TOLERANCES)
    return advise(picture, shot, items, series, DEFAULT_TOLERANCES)


def by_kind(found):
    return {advice.kind: advice for advice in found}


def test_an_even_picture_needs_nothing():
    assert advised(measured_photograph()) == ()


def test_a_picture_warmer_than_the_set_is_to_be_cooled():
    warm = measured_photograph(colour_temperature=temperature(1e6 / 6000 + 40))
    advice = by_kind(advised(warm))[AdviceKind.COLOUR_TEMPERATURE]
    assert (advice.amount, advice.unit) == (pytest.approx(-40), "mired")
    assert (advice.reaches, advice.rejoins) == ((), ("colour_temperature",))


def test_a_picture_warmer_than_plan_and_set_is_brought_to_the_plan():
    warm = measured_photograph(colour_temperature=temperature(1e6 / 6000 + 60))
    found = by_kind(advised(warm, intent_with(colour_temperature=1e6 / 6000)))
    advice = found[AdviceKind.COLOUR_TEMPERATURE]
    assert advice.amount == pytest.approx(-60)
    assert (advice.reaches, advice.rejoins) == (("colour_temperature",), ("colour_temperature",))


def test_a_picture_warm_on_purpose_is_left_as_it_is():
    warm = measured_photograph(colour_temperature=temperature(1e6 / 6000 + 60))
    intent = intent_with(colour_temperature=1e6 / 6000)
    other = advised(warm, intent, (Purpose("lamp light", ("light",)),))
    meant = advised(warm, intent, (Purpose("lamp light", ("colour_temperature",)),))
    assert AdviceKind.COLOUR_TEMPERATURE in by_kind(other)
    assert AdviceKind.COLOUR_TEMPERATURE not in by_kind(meant)


def test_if_the_set_is_as_planned_a_picture_is_brought_to_the_set():
    # Seven pictures at 1e6 / 6000 = 166.7 mired, planned is 10 mired cooler: as planned. The
    # distance of the warm one from them is known better than that from the plan.
    warm = measured_photograph(colour_temperature=temperature(1e6 / 6000 + 60))
    found = by_kind(advised(warm, intent_with(colour_temperature=1e6 / (1e6 / (1e6 / 6000 - 10)))))
    advice = found[AdviceKind.COLOUR_TEMPERATURE]
    assert advice.amount == pytest.approx(-60)
    assert (advice.reaches, advice.rejoins) == (("colour_temperature",), ("colour_temperature",))


def test_if_the_set_misses_its_plan_the_picture_is_brought_to_the_plan_and_stays_off_the_set():
    # Planned 40 mired cooler than the set: 100 mired from the warm picture, which then lies 40
    # mired on the other side of the set.
    warm = measured_photograph(colour_temperature=temperature(1e6 / 6000 + 60))
    found = by_kind(advised(warm, intent_with(colour_temperature=1e6 / (1e6 / (1e6 / 6000 - 40)))))
    advice = found[AdviceKind.COLOUR_TEMPERATURE]
    assert advice.amount == pytest.approx(-100)
    assert (advice.reaches, advice.rejoins) == (("colour_temperature",), ())


def test_a_dark_picture_is_to_be_lightened():
    dark = measured_photograph(tone=tone(mean_lightness=30.0, exposure_ev=-1.1))
    advice = by_kind(advised(dark))[AdviceKind.EXPOSURE]
    assert (advice.amount, advice.unit) == (pytest.approx(1.2), "EV")
    assert (advice.reaches, advice.rejoins) == ((), ("exposure",))


def test_a_picture_dark_on_purpose_is_left_as_it_is():
    dark = measured_photograph(file="7.jpg", tone=tone(mean_lightness=30.0, exposure_ev=-1.1))
    rest = [measured_photograph(file=f"{n}.jpg") for n in range(7)]
    series = describe_series([*rest, dark])
    planned, seen = Colours(("#b3aa9c",)), Colours(("#726b61",))  # 1.2 EV apart
    item = ComparedItem.of(
        "surface", planned, seen, Verdict.MISSED, difference=22.2, tolerance=10.0
    )
    meant = dataclasses.replace(item, on_purpose="a dark mood")
    shot = Shot("a shot", ("*",), intent_with())
    assert AdviceKind.EXPOSURE in by_kind(advise(dark, shot, (item,), series, DEFAULT_TOLERANCES))
    found = advise(dark, shot, (meant,), series, DEFAULT_TOLERANCES)
    assert AdviceKind.EXPOSURE not in by_kind(found)


def test_a_picture_that_rises_to_the_right_is_turned_clockwise():
    tilted = measured_photograph(roll=roll(2.5))
    advice = by_kind(advised(tilted, roll=roll(0.3)))[AdviceKind.ROTATE]
    assert (advice.amount, advice.unit) == (2.5, "deg")
    assert (advice.reaches, advice.rejoins) == ((), ("roll",))


@pytest.mark.parametrize(
    "of_the_rest",
    [2.5, 5.0],
    ids=["as tilted as the rest", "the rest is tilted more: level, it leaves the set as before"],
)
def test_a_turn_that_does_not_bring_a_picture_to_the_set_does_not_claim_it(of_the_rest):
    tilted = measured_photograph(roll=roll(2.5))
    advice = by_kind(advised(tilted, roll=roll(of_the_rest)))[AdviceKind.ROTATE]
    assert (advice.amount, advice.reaches, advice.rejoins) == (2.5, (), ())


def test_an_uncertain_tilt_is_not_corrected():
    tilted = measured_photograph(roll=roll(2.5, confidence=0.4))
    assert AdviceKind.ROTATE not in by_kind(advised(tilted))


def test_a_crop_is_advised_by_the_name_of_what_it_reaches():
    (advice,) = advised(measured_photograph(), intent_with(aspect_ratio=1.0))
    assert (advice.kind, advice.unit) == (AdviceKind.CROP, "fraction of frame")
    assert advice.amount == pytest.approx(advice.crop.area_fraction)
    assert (advice.reaches, advice.rejoins) == (("aspect_ratio",), ())


def test_what_is_reached_can_be_planned_and_what_is_rejoined_is_followed():
    picture = measured_photograph(
        colour_temperature=temperature(1e6 / 6000 + 60),
        tone=tone(mean_lightness=30.0, exposure_ev=-1.1),
        roll=roll(2.5),
    )
    found = advised(picture, intent_with(colour_temperature=1e6 / 6000, aspect_ratio=1.0))
    assert {advice.kind for advice in found} == set(AdviceKind)
    for advice in found:
        assert set(advice.reaches) <= set(PLANNED)
        assert set(advice.rejoins) <= set(FOLLOWED)
        assert advice.reaches or advice.rejoins


def test_a_picture_with_a_border_is_neither_cropped_nor_turned():
    inside = Border(Box(0.05, 0.05, 0.95, 0.95), "#ffffff")
    border = Quantity.measured(inside, confidence=0.9, tolerance=0.01)
    framed = measured_photograph(roll=roll(2.5), border=border)
    assert not advised(framed, intent_with(aspect_ratio=1.0), roll=roll(0.3))
