from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from auditor.comparison.item import Verdict
from auditor.comparison.verdicts import (
    probability_within,
    probability_within_round,
    standard_deviation,
    verdict_of,
    verdict_on_direction,
    verdict_on_quantity,
    verdict_on_word,
)
from auditor.quantity import Quantity
from auditor.reasons import Reason

MET, CLOSE, MISSED, UNDECIDED = Verdict


def measured(confidence, tolerance):
    return Quantity.measured("something", confidence=confidence, tolerance=tolerance)


@pytest.mark.parametrize(
    ("dimensions", "confidence", "n_deviations"),
    [
        # Two-sided normal quantiles, NIST/SEMATECH e-Handbook 1.3.6.7.1.
        (1, 0.6827, 1.0),
        (1, 0.95, 1.960),
        (1, 0.99, 2.576),
        # Square roots of chi-squared quantiles, NIST/SEMATECH e-Handbook 1.3.6.7.4.
        (2, 0.90, math.sqrt(4.605)),
        (2, 0.95, math.sqrt(5.991)),
        (3, 0.90, math.sqrt(6.251)),
        (3, 0.99, math.sqrt(11.345)),
    ],
)
def test_deviation_from_confidence(dimensions, confidence, n_deviations):
    deviation = standard_deviation(measured(confidence, 6.0), dimensions)
    assert 6.0 / deviation == pytest.approx(n_deviations, abs=5e-4)


def test_deviation_at_the_ends():
    assert standard_deviation(measured(0.0, 1.0), 1) == math.inf
    assert standard_deviation(Quantity.undetermined(Reason.NO_SUBJECT), 2) == math.inf
    assert 0 < standard_deviation(measured(1.0, 1.0), 1) < 0.5
    assert standard_deviation(measured(0.9, 0.0), 1) == 0.0


@pytest.mark.parametrize("dimensions", [1, 2, 3])
@pytest.mark.parametrize("difference", [0.0, 0.7, 1.0, 1.6])
@pytest.mark.parametrize("deviation", [0.2, 0.8])
def test_probability_against_drawn_errors(dimensions, difference, deviation):
    random = np.random.default_rng(20)
    truths = random.normal(0.0, deviation, (200_000, dimensions))
    truths[:, 0] += difference
    drawn = np.mean(np.linalg.norm(truths, axis=1) <= 1.0)
    # 200000 draws: a standard error of at most 0.0011.
    assert probability_within(difference, 1.0, deviation, dimensions) == pytest.approx(
        drawn, abs=0.005
    )
    assert probability_within(-difference, 1.0, deviation, dimensions) == pytest.approx(
        drawn, abs=0.005
    )


@pytest.mark.parametrize("difference", [0.0, 2.0, -5.5, 6.0])
@pytest.mark.parametrize("deviation", [0.3, 2.0, 4.0])
def test_probability_round_the_dial_against_drawn_errors(difference, deviation):
    random = np.random.default_rng(21)
    truths = random.normal(difference, deviation, 200_000)
    off = np.abs((truths + 6) % 12 - 6)
    assert probability_within_round(difference, 1.25, deviation, 12.0) == pytest.approx(
        np.mean(off <= 1.25), abs=0.005
    )


def test_an_unknown_direction_is_right_by_chance():
    assert probability_within_round(0.0, 1.5, math.inf, 12.0) == 0.25
    assert probability_within(0.0, 1.5, math.inf) == 0.0


@pytest.mark.parametrize(
    ("difference", "verdict"),
    [
        (0.0, MET),
        (0.1, MET),
        (0.3 - 0.2, MET),  # 0.09999999999999998
        (0.8 - 0.7, MET),  # 0.10000000000000009: rounding is no fault of the picture
        (0.101, CLOSE),
        (0.15, CLOSE),
        (0.151, MISSED),
        (9.0, MISSED),
    ],
)
@pytest.mark.parametrize("sign", [1, -1])
def test_exact_measurements_at_the_boundaries(difference, verdict, sign):
    within = probability_within(sign * difference, 0.1, 0.0)
    assert verdict_of(sign * difference, 0.1, within) is verdict


@pytest.mark.parametrize(
    ("within", "difference", "verdict"),
    [
        (0.75, 0.5, MET),
        (0.74, 0.5, UNDECIDED),
        (0.16, 1.2, UNDECIDED),
        (0.15, 1.2, CLOSE),
        (0.16, 2.0, UNDECIDED),
        (0.15, 2.0, MISSED),
    ],
)
def test_doubt_at_its_limits(within, difference, verdict):
    assert verdict_of(difference, 1.0, within) is verdict


def test_the_boundary_itself_is_undecided_for_every_estimate():
    for dimensions in (1, 2, 3):
        quantity = measured(0.95, 0.2)
        assert verdict_on_quantity(1.0, 1.0, quantity, dimensions) is UNDECIDED


def test_worked_by_hand():
    # u = 5 with p = 0.95: deviation 5 / 1.96 = 2.551. At 8 of 10 the chance of being outside is
    # 1 - Phi(2 / 2.551) = 1 - Phi(0.784) = 0.216, and 0.3 * 0.05 = 0.015 of gross errors:
    # 0.015 + 0.985 * 0.216 = 0.228, less than 0.25.
    assert verdict_on_quantity(8.0, 10.0, measured(0.95, 5.0)) is MET
    # At 8.5: 1 - Phi(0.588) = 0.278.
    assert verdict_on_quantity(8.5, 10.0, measured(0.95, 5.0)) is UNDECIDED
    # At 12.5: 1 - Phi(0.980) = 0.164. At 13: 1 - Phi(1.176) = 0.120, with gross errors 0.133.
    assert verdict_on_quantity(12.5, 10.0, measured(0.95, 5.0)) is UNDECIDED
    assert verdict_on_quantity(13.0, 10.0, measured(0.95, 5.0)) is CLOSE
    assert verdict_on_quantity(-15.1, 10.0, measured(0.95, 5.0)) is MISSED


RANK = {MET: 0, UNDECIDED: 1, CLOSE: 2, MISSED: 3}


@settings(max_examples=200, deadline=None, derandomize=True)
@given(
    confidence=st.floats(0, 1),
    own=st.floats(1e-3, 10),
    dimensions=st.sampled_from([1, 2, 3]),
    differences=st.lists(st.floats(0, 12), min_size=2, max_size=6).map(sorted),
)
def test_further_away_is_never_judged_better(confidence, own, dimensions, differences):
    quantity = measured(confidence, own)
    ranks = [
        RANK[verdict_on_quantity(difference, 2.0, quantity, dimensions)]
        for difference in differences
    ]
    assert ranks == sorted(ranks)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(confidence=st.floats(0, 0.499), own=st.floats(1e-3, 10), difference=st.floats(0, 100))
def test_a_measurement_more_likely_wrong_than_right_reports_no_fault(confidence, own, difference):
    verdict = verdict_on_quantity(difference, 2.0, measured(confidence, own))
    assert verdict in (MET, UNDECIDED)


def test_at_even_odds_a_large_miss_is_reported():
    assert verdict_on_quantity(50.0, 2.0, measured(0.5, 1.0)) is MISSED


def test_directions_round_the_dial():
    precise = measured(0.99, 0.5)
    assert verdict_on_direction(1.0, 1.25, precise, 12.0) is MET
    assert verdict_on_direction(-6.0, 1.25, precise, 12.0) is MISSED
    assert verdict_on_direction(0.0, 1.25, measured(0.5, 3.0), 12.0) is UNDECIDED


@pytest.mark.parametrize(
    ("planned", "found", "confidence", "verdict"),
    [
        ("left", "left", 0.5, MET),
        ("left", "right", 0.5, MISSED),
        ("left", "left", 0.49, UNDECIDED),
        ("left", "right", 0.49, UNDECIDED),
    ],
)
def test_words(planned, found, confidence, verdict):
    assert verdict_on_word(planned, found, measured(confidence, 0.1)) is verdict
