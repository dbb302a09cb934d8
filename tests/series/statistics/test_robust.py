"""Robust centre and spread, against SciPy and against drawn samples."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from auditor.series.statistics.robust import (
    FALSE_ALARM_PROBABILITY,
    QN_EFFICIENCY,
    QN_LOST_FREEDOM,
    centre_and_spread,
    circular_centre_and_spread,
    circular_deviation,
    is_apart,
    moderated_spread,
    outlier_limit,
    outlier_threshold,
    qn_spread,
    small_sample_factor,
)


def test_the_spread_is_scipys_median_absolute_deviation():
    values = np.random.default_rng(3).normal(150, 12, size=41)
    centre, spread = centre_and_spread(list(values))
    assert centre == np.median(values)
    expected = stats.median_abs_deviation(values, scale="normal") * small_sample_factor(41)
    assert spread == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize("n", [3, 5, 8, 12, 30])
def test_small_samples_of_a_normal_distribution_give_its_sigma(n):
    # Drawn: the mean of the corrected spread over many samples is the sigma that they came from.
    samples = np.random.default_rng(n).normal(0, 1, size=(4000, n))
    spreads = [centre_and_spread(list(sample))[1] for sample in samples]
    assert np.mean(spreads) == pytest.approx(1, abs=0.04)


def test_one_wild_value_moves_neither_centre_nor_spread_much():
    calm = [10.0, 11, 12, 13, 14, 15, 16]
    wild = [*calm[:-1], 1600.0]
    assert centre_and_spread(wild) == centre_and_spread(calm)


def test_the_dial_has_no_seam():
    centre, spread = circular_centre_and_spread([11.5, 11.8, 0.2, 0.5, 12.0])
    assert circular_deviation(centre, 12.0) == pytest.approx(0, abs=0.02)
    assert spread < 1


@given(st.lists(st.floats(9.0, 11.0), min_size=3, max_size=9), st.floats(0, 12))
def test_turning_the_dial_turns_the_centre(hours, turn):
    centre, spread = circular_centre_and_spread(hours)
    turned, turned_spread = circular_centre_and_spread([(hour + turn) % 12 for hour in hours])
    assert abs(circular_deviation(turned, centre + turn)) < 0.05
    assert turned_spread == pytest.approx(spread, abs=0.15)


@pytest.mark.parametrize("n", [5, 50, 500])
def test_false_alarms_are_rare_in_even_sets_of_any_size(n):
    # With the true sigma known, the chance of any alarm in a set is what the rule promises.
    threshold = outlier_threshold(n, 10)
    sets = np.random.default_rng(1).normal(0, 1, size=(400, n * 10))
    share = np.mean(np.abs(sets).max(axis=1) > threshold)
    assert share < 0.09
    assert outlier_threshold(n, 10) < outlier_threshold(n * 2, 10)


@pytest.mark.parametrize("n", [5, 8, 9, 12, 31, 200])
def test_qn_of_a_normal_distribution_is_its_sigma(n):
    # Drawn: the mean over many samples is the sigma that they came from.
    samples = np.random.default_rng(n).normal(7, 2, size=(2000, n))
    assert np.mean([qn_spread(sample) for sample in samples]) == pytest.approx(2, abs=0.08)


def test_qn_tolerates_almost_half_of_wild_values_and_varies_less_than_the_median_deviation():
    rng = np.random.default_rng(5)
    samples = rng.normal(0, 1, size=(500, 12))
    assert np.std([qn_spread(s) for s in samples]) < 0.8 * np.std(
        [centre_and_spread(list(s))[1] for s in samples]
    )
    wild = np.concatenate([rng.normal(0, 1, 60), rng.normal(1e4, 1, 40)])
    assert qn_spread(wild) < 5


@pytest.mark.parametrize("n_readings", [1, 4])
@pytest.mark.parametrize("n", [5, 8, 12, 40, 500])
def test_at_most_one_picture_in_twenty_is_flagged_in_sets_without_a_fault(n, n_readings):
    # Drawn, of 12 quantities each; of several readings that with the least spread is chosen.
    rng = np.random.default_rng(n)
    n_quantities, n_sets, flagged = 12, 400 if n < 100 else 12, 0
    for _ in range(n_sets):
        readings = rng.normal(0, 1, size=(n_readings, n))
        spreads = [qn_spread(reading) for reading in readings]
        chosen = int(np.argmin(spreads))
        limit = outlier_limit(n, n_quantities, spreads[chosen], 0.0, n_readings=n_readings)
        away = np.abs(readings[chosen] - np.median(readings[chosen]))
        flagged += int((away > limit).sum())
    assert flagged * n_quantities / (n_sets * n) < 1 / 20


@pytest.mark.parametrize("n", [5, 37, 3000])
def test_the_limits_are_quantiles_of_scipys_distributions(n):
    per_value = FALSE_ALARM_PROBABILITY / (n * 12)
    assert outlier_threshold(n, 12) == pytest.approx(stats.norm.ppf(1 - per_value / 2), rel=1e-12)
    freedom = max(1.0, QN_EFFICIENCY * (n - 1) - QN_LOST_FREEDOM)
    by_t = stats.t.ppf(1 - FALSE_ALARM_PROBABILITY / 12 / 2, freedom)
    expected = max(outlier_threshold(n, 12), by_t) * 2.5
    assert outlier_limit(n, 12, 2.5, 0.0) == pytest.approx(expected, rel=1e-12)


def test_the_moderated_spread_averages_squares():
    # By hand: 7 values have 0.82 * 6 - 1 = 3.92 degrees of freedom; with 6 for the usual spread
    # (6 * 0.2^2 + 3.92 * 0.5^2) / 9.92 = 0.12299, the square of 0.3507.
    spread, freedom = moderated_spread(7, 0.5, 0.2, 6.0)
    assert (spread, freedom) == (pytest.approx(0.3507, abs=1e-4), pytest.approx(9.92))
    assert moderated_spread(7, 0.5, 0.2, 0.0)[0] == pytest.approx(0.5)


@pytest.mark.parametrize(("n", "least"), [(5, 0.75), (7, 0.8), (12, 0.8)])
def test_a_stop_is_found_in_small_even_sets(n, least):
    # Drawn, with a spread of 0.15 EV.
    rng = np.random.default_rng(n)
    found = wrong = 0
    for _ in range(150):
        values = rng.normal(0, 0.15, n)
        values[0] -= 1
        apart = [is_apart(values.tolist(), at, 0.15, 1 / 3, 12) for at in range(n)]
        found += apart[0]
        wrong += sum(apart[1:])
    assert found / 150 > least
    assert wrong / (150 * (n - 1)) < 0.02


@pytest.mark.parametrize("n", [3, 5, 7, 12, 19])
def test_uneven_small_sets_name_at_most_one_in_ten(n):
    # Drawn, with a spread of 0.5 EV, three times what is usual.
    rng = np.random.default_rng(n)
    wrong = 0
    for _ in range(150):
        values = rng.normal(0, 0.5, n).tolist()
        wrong += sum(is_apart(values, at, 0.15, 1 / 3, 12) for at in range(n))
    assert wrong / (150 * n) < 0.1
