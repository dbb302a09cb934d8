"""What would help a picture."""

import pytest

from auditor.advice.advice import AdviceKind, advise
from auditor.comparison.compare import compare
from auditor.measurements.roll import Roll
from auditor.plan.shot_plan import Intent, Shot
from auditor.plan.tolerances import DEFAULT_TOLERANCES
from auditor.quantity import Quantity
from auditor.series.series import describe_series
from tests.factories import colour_temperature, measured_photograph, tone


def temperature(mired):
    return Quantity.measured(colour_temperature(1e6 / mired), confidence=0.97, tolerance=10.0)


def a_set(last):
    rest = [measured_photograph(file=f"{n}.jpg") for n in range(7)]
    return [*rest, last]


def advised(picture, intent=None):
    series = describe_series(a_set(picture))
    if intent is None:
        return advise(picture, None, (), series, None)
    shot = Shot("a shot", ("*",), intent)
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
    assert advice.reaches == ("series: colour_temperature",)


def test_a_picture_warmer_than_plan_and_set_is_brought_to_the_plan():
    warm = measured_photograph(colour_temperature=temperature(1e6 / 6000 + 60))
    found = by_kind(advised(warm, Intent(colour_temperature_kelvin=6000)))
    advice = found[AdviceKind.COLOUR_TEMPERATURE]
    assert advice.amount == pytest.approx(-60)
    assert advice.reaches == ("colour_temperature", "series: colour_temperature")


def test_where_the_set_is_as_planned_a_picture_is_brought_to_the_set():
    # Seven pictures at 1e6 / 6000 = 166.7 mired, planned is 10 mired cooler: as planned. How far
    # the warm one is from them is known better than how far from the plan.
    warm = measured_photograph(colour_temperature=temperature(1e6 / 6000 + 60))
    found = by_kind(advised(warm, Intent(colour_temperature_kelvin=1e6 / (1e6 / 6000 - 10))))
    advice = found[AdviceKind.COLOUR_TEMPERATURE]
    assert advice.amount == pytest.approx(-60)
    assert advice.reaches == ("colour_temperature", "series: colour_temperature")
    # Planned 40 mired cooler: the set itself misses its plan, and the picture is brought to that.
    found = by_kind(advised(warm, Intent(colour_temperature_kelvin=1e6 / (1e6 / 6000 - 40))))
    assert found[AdviceKind.COLOUR_TEMPERATURE].amount == pytest.approx(-100)


def test_a_dark_picture_is_to_be_lightened():
    dark = measured_photograph(tone=tone(mean_lightness=30.0, exposure_ev=-1.1))
    advice = by_kind(advised(dark))[AdviceKind.EXPOSURE]
    assert (advice.amount, advice.unit) == (pytest.approx(1.2), "EV")


def test_what_rises_to_the_right_is_turned_clockwise():
    tilted = measured_photograph(roll=Quantity.measured(Roll(2.5), confidence=0.9, tolerance=1.0))
    advice = by_kind(advised(tilted))[AdviceKind.ROTATE]
    assert (advice.amount, advice.unit, advice.reaches) == (2.5, "deg", ("roll",))


def test_a_doubtful_tilt_is_left_alone():
    tilted = measured_photograph(roll=Quantity.measured(Roll(2.5), confidence=0.4, tolerance=1.0))
    assert AdviceKind.ROTATE not in by_kind(advised(tilted))
