import numpy as np
import pytest

from auditor.accepted import Accepted
from auditor.comparison.evidence import (
    agreement_ratios,
    density_about,
    density_of_set,
    ratio_of,
    says_nothing,
)

ONE = np.ones(1)


@pytest.mark.parametrize(
    ("accepted", "period"),
    [
        (Accepted.exactly(45.0), None),
        (Accepted(40.0, ((30.0, 55.0),)), None),
        (Accepted(40.0, ((10.0, 20.0), (40.0, 80.0))), None),
        (Accepted.exactly(11.5), 12.0),
        (Accepted(12.0, ((11.0, 13.0),)), 12.0),
    ],
)
@pytest.mark.parametrize("spread", [0.1, 1.0])
def test_what_a_plan_accepts_is_a_density(accepted, period, spread):
    values = np.linspace(-60, 180, 24001) if period is None else np.linspace(0, period, 24001)
    density = density_about(accepted, values, np.full_like(values, spread), 1.25, period)
    assert np.trapezoid(density, values) == pytest.approx(1, abs=1e-3)


def test_inside_a_range_all_values_are_alike_and_beyond_it_they_fall_off():
    values = np.array([40.0, 45.0, 50.0, 61.0, 70.0])
    density = density_about(Accepted(45.0, ((30.0, 60.0),)), values, np.full(5, 0.5), 2.0, None)
    assert density[0] == pytest.approx(density[1], rel=1e-3)
    assert density[1] == pytest.approx(density[2], rel=1e-3)
    assert density[2] > density[3] > density[4]


def test_what_the_set_shows_is_a_density_and_leaves_the_picture_itself_out():
    # 59 pictures about 45 and one at x: seen from x, only the 59 count.
    others = np.random.default_rng(1).normal(45, 5, 59)
    at = np.linspace(-50, 140, 1901)

    def even(values):
        return np.where(np.abs(values - 45) < 45, 1 / 90, 0.0)

    density = [
        density_of_set(np.append(others, x), np.full(60, 1.0), 10.0, None, even)[-1] for x in at
    ]
    assert np.trapezoid(density, at) == pytest.approx(1, abs=5e-3)


def test_over_any_picture_the_mean_ratio_is_one():
    # A ratio of two densities: its mean over the denominator is the integral of the numerator.
    values = np.linspace(0, 90, 9001)
    usual = np.full_like(values, 1 / 90)
    planned = density_about(Accepted.exactly(45.0), values, np.full_like(values, 3.0), 10.0, None)
    ratios = ratio_of(0.9, planned, usual)
    assert np.trapezoid(ratios * usual, values) == pytest.approx(1, abs=1e-3)
    assert ratios.min() == pytest.approx(0.1, abs=1e-3)


def test_a_reading_that_is_surely_wrong_says_nothing():
    assert ratio_of(0.0, 100 * ONE, 0.01 * ONE) == 1


def test_agreement_that_is_rare_says_more_than_agreement_of_all():
    rare = agreement_ratios([np.array([1.0, 0, 0, 0, 0, 0])], 0.8, 0.3, 6)
    common = agreement_ratios([np.array([1.0, 1, 1, 1, 1, 0])], 0.8, 0.3, 6)
    assert rare[0, 0] > common[0, 0] > 1
    assert rare[0, 1] == common[0, 5] == pytest.approx(0.2)


def test_agreement_that_cannot_be_told_says_nothing():
    ratios = agreement_ratios([np.array([1.0, np.nan]), None], 0.8, 0.3, 2)
    assert ratios[0, 1] == 1
    assert ratios[1].tolist() == [1, 1]


@pytest.mark.parametrize(
    ("planned", "nothing"),
    [
        ((), True),
        ((None, None), True),
        (("a", "a"), True),
        (("a", None), False),
        (("a",), False),  # one shot: a picture may be its own or not
        ((None,), True),
        (((),), True),
    ],
)
def test_what_all_shots_plan_alike_says_nothing(planned, nothing):
    assert says_nothing(planned) is nothing
