"""Everyday words for amounts: their direction, and that none is far from its number."""

import math

import pytest

from auditor.geometry import Point
from auditor.wording.everyday import (
    fraction_words,
    hours_words,
    moved_words,
    stops_words,
    way_round,
)


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.01, "less than a twentieth"),
        (0.05, "about a twentieth"),
        (0.17, "about a sixth"),
        (0.26, "about a quarter"),
        (0.34, "about a third"),
        (0.5, "about half"),
        (0.68, "about two thirds"),
        (0.95, "nearly all"),
    ],
)
def test_a_share_is_a_fraction_that_people_say(share, words):
    assert fraction_words(share) == words


def test_a_place_is_off_in_the_direction_in_which_one_would_push_it_back():
    wanted = Point(0.5, 0.5)
    assert moved_words(wanted, Point(0.67, 0.5), 600, 400) == (
        "about a sixth of the frame’s width too far right"
    )
    assert moved_words(wanted, Point(0.5, 0.25), 600, 400) == (
        "about a quarter of the frame’s height too high"
    )
    assert moved_words(wanted, Point(0.3, 0.8), 600, 400) == (
        "about a fifth of the frame’s width too far left and about a third of its height too low"
    )
    assert moved_words(wanted, wanted, 600, 400) == ""


def test_of_two_sides_the_small_one_is_left_out_as_the_eye_leaves_it_out():
    # 0.1 of 2400 px is 240 px, 0.1 of 400 px is 40 px.
    assert "height" not in moved_words(Point(0.5, 0.5), Point(0.6, 0.6), 2400, 400)
    assert "height" in moved_words(Point(0.5, 0.5), Point(0.6, 0.6), 400, 400)


@pytest.mark.parametrize(
    ("ev", "words"),
    [
        (0.1, "less than a third of a stop"),
        (0.33, "a third of a stop"),
        (0.6, "two thirds of a stop"),
        (1.0, "a stop"),
        (1.24, "a stop and a third"),
        (1.9, "two stops"),
        (3.1, "three stops"),
        (2.7, "two stops and two thirds"),
    ],
)
def test_exposure_is_in_stops_and_thirds(ev, words):
    assert stops_words(ev) == words


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        (0.05, "a quarter of an hour"),
        (0.5, "half an hour"),
        (0.8, "three quarters of an hour"),
        (1.0, "an hour"),
        (1.4, "an hour and a half"),
        (3.3, "three and a half hours"),
        (6.0, "six hours"),
    ],
)
def test_the_dial_is_in_hours(hours, words):
    assert hours_words(hours) == words


@pytest.mark.parametrize(
    ("planned", "measured", "side"),
    [
        (10.5, 11.0, "the back"),
        (10.5, 10.0, "the left"),
        (10.5, 1.75, "the right"),
        (11.5, 11.0, "the left"),
        (12.0, 12.75, "the right"),
        (3.0, 4.5, "the front"),
        (6.0, 12.0, "the back"),
        (10.5, 10.5, ""),
    ],
)
def test_the_light_is_too_far_round_to_a_side(planned, measured, side):
    assert way_round(planned, measured) == side


def test_the_side_is_always_nearer_to_the_measured_light_than_to_the_planned_one():
    place = {"the back": 12, "the right": 3, "the front": 6, "the left": 9}

    def apart(first, second):
        turn = abs(first - second) / 12 * 2 * math.pi
        return math.acos(max(-1.0, min(1.0, math.cos(turn))))

    for planned in range(0, 48, 5):
        for measured in range(1, 48, 7):
            if planned == measured:
                continue
            hour = place[way_round(planned / 4, measured / 4)]
            assert apart(hour, measured / 4) < apart(hour, planned / 4)
