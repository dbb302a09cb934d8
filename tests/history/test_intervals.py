"""Intervals against an outside implementation and published examples."""

import pytest
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st

from auditor.history.intervals import below, holm, mean_interval, two_sided, wilson_interval


@pytest.mark.parametrize("n", [1, 2, 7, 30, 400])
@pytest.mark.parametrize("part", [0.0, 0.1, 0.5, 0.9, 1.0])
def test_wilson_agrees_with_scipy(n, part):
    k = round(part * n)
    expected = scipy.stats.binomtest(k, n).proportion_ci(0.95, method="wilson")
    assert wilson_interval(k, n) == pytest.approx((expected.low, expected.high), abs=1e-9)


def test_wilson_as_published():
    # R. G. Newcombe, Two-sided confidence intervals for the single proportion, Statistics in
    # Medicine 17 (1998) 857-872, table I, method 3: 81 of 263, 15 of 148, 0 of 20, 1 of 29.
    published = {
        (81, 263): (0.2553, 0.3662),
        (15, 148): (0.0624, 0.1605),
        (0, 20): (0.0, 0.1611),
        (1, 29): (0.0061, 0.1718),
    }
    for (k, n), expected in published.items():
        assert wilson_interval(k, n) == pytest.approx(expected, abs=5e-5)


@given(st.lists(st.floats(-100, 100), min_size=3, max_size=12), st.floats(0.5, 20))
def test_the_mean_and_its_tests_agree_with_scipy(values, scale):
    values = [scale * value + place for place, value in enumerate(values)]
    n, mean, spread = len(values), sum(values) / len(values), scipy.stats.tstd(values)
    if spread < 1e-6:
        return
    error = spread / n**0.5
    least, most = scipy.stats.t.interval(0.95, n - 1, loc=mean, scale=error)
    assert mean_interval(mean, error, n - 1) == pytest.approx((least, most), rel=1e-6, abs=1e-6)
    tested = scipy.stats.ttest_1samp(values, 0.0)
    assert two_sided(mean, error, n - 1) == pytest.approx(tested.pvalue, rel=1e-6, abs=1e-12)
    one_sided = scipy.stats.ttest_1samp(values, 0.0, alternative="less")
    assert below(mean, error, n - 1) == pytest.approx(one_sided.pvalue, rel=1e-6, abs=1e-12)


def test_values_that_are_all_the_same_are_certain():
    assert two_sided(2.0, 0.0, 2) == 0.0
    assert two_sided(0.0, 0.0, 2) == 1.0
    assert (below(-1.0, 0.0, 2), below(1.0, 0.0, 2), below(0.0, 0.0, 2)) == (0.0, 1.0, 1.0)


def test_holm_as_by_hand():
    # Holm 1979: 0.01 <= 0.05/4, 0.015 <= 0.05/3, 0.03 > 0.05/2, and then none.
    assert holm([0.03, 0.01, 0.04, 0.015], 0.05) == [False, True, False, True]
    assert holm([0.02, 0.02], 0.05) == [True, True]
    assert holm([0.026, 0.026], 0.05) == [False, False]
    assert holm([], 0.05) == []
