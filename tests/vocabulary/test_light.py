"""Names of light directions, read and written; tests/measurements/test_light.py has the zones."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from auditor.geometry import clock_difference_hours
from auditor.vocabulary.light import LIGHT_WORDS, clock_of_light, light_words


def test_directions_in_words_go_clockwise_round_the_dial_in_equal_steps():
    clocks = [clock_of_light(words) for words in LIGHT_WORDS]
    assert clocks[0] == 12  # behind the subject
    assert clocks[LIGHT_WORDS.index("right")] == 3
    assert clocks[LIGHT_WORDS.index("front")] == 6  # at the camera
    assert clocks[LIGHT_WORDS.index("left")] == 9
    for earlier, later in itertools.pairwise([*clocks, clocks[0]]):
        assert clock_difference_hours(later, earlier) == 1.5


@pytest.mark.parametrize(
    ("words", "clock"),
    [
        ("Back-Left", 10.5),
        ("left back", 10.5),
        ("three-quarter back light, left", 10.5),
        ("three-quarter back light from the left", 10.5),
        ("side left", 9),
        ("side light from the right", 3),
        ("backlit", 12),
        ("from behind", 12),
        ("front light", 6),
        ("side", None),  # which one?
        ("above", None),
        ("left right", None),
        ("", None),
    ],
)
def test_other_ways_to_write_a_direction(words, clock):
    assert clock_of_light(words) == clock


@pytest.mark.parametrize(
    ("clock", "words"),
    [
        (12.0, "back light"),
        (0.5, "back light"),
        (10.5, "three-quarter back light from the left"),
        (1.5, "three-quarter back light from the right"),
        (9.0, "side light from the left"),
        (3.0, "side light from the right"),
        (4.5, "front light from the right"),
        (7.0, "front light from the left"),
        (6.0, "front light"),
    ],
)
def test_a_clock_position_has_a_name(clock, words):
    assert light_words(clock) == words


def test_mirrored_light_differs_only_in_its_side():
    for clock in (0.5, 1.0, 2.5, 4.0, 5.5):
        assert light_words(12 - clock).replace("left", "right") == light_words(clock)


def test_the_name_of_any_clock_position_is_read_as_one_of_that_name():
    names = {light_words(float(clock)) for clock in np.linspace(0.01, 12, 1200)}
    assert len(names) == len(LIGHT_WORDS)
    for name in names:
        assert light_words(clock_of_light(name)) == name
