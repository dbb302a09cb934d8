"""Numbers as people write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from auditor.geometry import Point, clock_difference_hours
from auditor.plan_draft import rounding
from auditor.quantities import tolerance_rule
from auditor.vocabulary.light import clock_of_light
from auditor.vocabulary.ratios import ratio_of_words


@pytest.mark.parametrize(
    ("fraction", "written"),
    [(0.212, 0.2), (0.23, 0.25), (0.07, 0.07), (0.0001, 0.01), (0.449, 0.45), (1.0, 1.0)],
)
def test_shares(fraction, written):
    assert rounding.share(fraction) == written


def test_places_prefer_the_lines_of_thirds():
    assert rounding.place(Point(0.66, 0.34)) == [0.67, 0.33]
    assert rounding.place(Point(0.52, 0.81)) == [0.5, 0.8]
    assert rounding.place(Point(-0.01, 1.02)) == [0.0, 1.0]
    assert rounding.drawn_place(Point(0.523, 0.811)) == [0.52, 0.81]


@given(st.floats(0, 1), st.floats(0, 1))
def test_rounding_stays_within_half_of_the_tolerance(x, y):
    across, down = rounding.place(Point(x, y))
    # In a square frame, whose diagonal is the shortest in sides.
    assert ((across - x) ** 2 + (down - y) ** 2) ** 0.5 / 2**0.5 < tolerance_rule(
        "subject"
    ).default / 2
    assert abs(rounding.share(x) - x) <= tolerance_rule("subject_size").default / 2


@given(st.floats(1000, 20000))
def test_kelvin_stay_within_half_of_the_tolerance_in_mired(cct_k):
    if cct_k >= 1500:  # below it 100 K are 40 mired; no finished picture has such neutrals
        assert abs(1e6 / rounding.kelvin(cct_k) - 1e6 / cct_k) < 25
    assert rounding.kelvin(cct_k) % 100 == 0


@given(st.floats(0.01, 12))
def test_the_word_of_a_light_is_the_nearest(hours):
    off = abs(clock_difference_hours(clock_of_light(rounding.light_word(hours)), hours))
    assert off <= 0.75 + 1e-9  # words are 1.5 hours apart


def test_clock_positions_are_those_of_a_dial():
    assert rounding.clock(10.4) == 10.5
    assert rounding.clock(11.9) == 12.0
    assert rounding.clock(0.2) == 12.0


@pytest.mark.parametrize(
    ("ratio", "name"),
    [
        (1600 / 2000, "4:5"),
        (640 / 427, "3:2"),
        (1.0, "1:1"),
        (1080 / 1920, "9:16"),
    ],
)
def test_usual_ratios(ratio, name):
    assert rounding.usual_ratio(ratio) == name
    assert ratio_of_words(name).nominal == pytest.approx(ratio, rel=rounding.RATIO_ROUNDING)


def test_an_unusual_ratio_has_no_name():
    assert rounding.usual_ratio(1.7) is None
