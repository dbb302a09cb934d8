from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from auditor.comparison.item import Verdict
from auditor.comparison.verdicts import (
    doubt_of,
    probability_within,
    probability_within_round,
    spread_of,
    verdict_of,
    verdict_of_absence,
    verdict_of_chance,
    verdict_on_direction,
    verdict_on_quantity,
)
from auditor.quantity import Quantity
from auditor.reasons import Reason

MET, CLOSE, MISSED, UNDECIDED = Verdict


def reading(spread, doubt=0.0):
    """A reading of which only spread and doubt matter here."""
    return Quantity("something", 0.5, 1.0, None, spread, doubt)


def test_nothing_is_known_without_a_value():
    nothing = Quantity.undetermined(Reason.NO_SUBJECT)
    assert (spread_of(nothing), doubt_of(nothing)) == (math.inf, 1.0)


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
        (0.50, 0.5, MET),
        (0.49, 0.5, UNDECIDED),
        (0.41, 1.2, UNDECIDED),
        (0.40, 1.2, CLOSE),
        (0.41, 2.0, UNDECIDED),
        (0.40, 2.0, MISSED),
    ],
)
def test_probability_at_its_limits(within, difference, verdict):
    assert verdict_of(difference, 1.0, within) is verdict


@pytest.mark.parametrize("confidence", [0.6, 0.7, 0.8, 0.9])
@pytest.mark.parametrize("difference", [0.0, 4.0, 8.0, 9.5])
def test_well_inside_is_met_at_every_confidence_above_even_odds(confidence, difference):
    elevation = Quantity.measured(1.0, confidence=confidence, tolerance=10.0, spread=3.0)
    assert verdict_on_quantity(difference, 10.0, elevation) is MET
    assert verdict_on_quantity(16.0 + difference, 10.0, elevation) is MISSED


def test_worked_by_hand():
    # A spread of 4 and a doubt of 0.1, at 8 of 10: within by Phi(2 / 4) - Phi(-18 / 4) = 0.691;
    # 0.9 * 0.691 + 0.1 * 0.5 = 0.672, more likely than not.
    assert verdict_on_quantity(8.0, 10.0, reading(4.0, 0.1)) is MET
    # At 12: 1 - Phi(2 / 4) = 0.309, with the doubt 0.328. At 10.5: 1 - Phi(0.125) = 0.450, 0.455.
    assert verdict_on_quantity(12.0, 10.0, reading(4.0, 0.1)) is CLOSE
    assert verdict_on_quantity(10.5, 10.0, reading(4.0, 0.1)) is UNDECIDED
    assert verdict_on_quantity(-15.1, 10.0, reading(4.0, 0.1)) is MISSED
    # A spread of 20 at the planned value: 2 Phi(10 / 20) - 1 = 0.383.
    assert verdict_on_quantity(0.0, 10.0, reading(20.0)) is UNDECIDED


RANK = {MET: 0, UNDECIDED: 1, CLOSE: 2, MISSED: 3}


@settings(max_examples=200, deadline=None, derandomize=True)
@given(
    spread=st.floats(1e-3, 10),
    doubt=st.floats(0, 0.5),
    dimensions=st.sampled_from([1, 2, 3]),
    differences=st.lists(st.floats(0, 12), min_size=2, max_size=6).map(sorted),
)
def test_further_away_is_never_judged_better(spread, doubt, dimensions, differences):
    quantity = reading(spread, doubt)
    ranks = [
        RANK[verdict_on_quantity(difference, 2.0, quantity, dimensions)]
        for difference in differences
    ]
    assert ranks == sorted(ranks)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(doubt=st.floats(0.501, 1), spread=st.floats(1e-3, 10), difference=st.floats(0, 100))
def test_a_reading_more_likely_wrong_than_right_decides_nothing(doubt, spread, difference):
    assert verdict_on_quantity(difference, 2.0, reading(spread, doubt)) is UNDECIDED


def test_at_even_odds_a_large_miss_is_reported():
    assert verdict_on_quantity(50.0, 2.0, reading(1.0, 0.5)) is MISSED


def test_directions_round_the_dial():
    precise = reading(0.2)
    assert verdict_on_direction(1.0, 1.25, precise, 12.0) is MET
    assert verdict_on_direction(-6.0, 1.25, precise, 12.0) is MISSED
    assert verdict_on_direction(0.0, 1.25, reading(3.0), 12.0) is UNDECIDED


@pytest.mark.parametrize(
    ("within", "doubt", "verdict"),
    [
        (1.0, 0.0, MET),
        (0.5, 0.5, MET),
        (1.0, 0.51, UNDECIDED),
        (0.45, 0.0, UNDECIDED),
        (0.2, 0.2, MISSED),
        (0.0, 0.51, UNDECIDED),
    ],
)
def test_what_has_no_difference_is_judged_by_its_probability(within, doubt, verdict):
    assert verdict_of_chance(within, doubt) is verdict


@pytest.mark.parametrize(("there", "verdict"), [(0.2, MISSED), (0.4, MISSED), (0.41, UNDECIDED)])
def test_what_was_not_found_is_missed_unless_it_is_likely_there(there, verdict):
    assert verdict_of_absence(there) is verdict
