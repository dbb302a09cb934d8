from __future__ import annotations

import itertools

import pytest

from auditor.geometry import clock_difference_hours
from auditor.measurements.technique_fit import TECHNIQUES
from auditor.plan.places import (
    ELEVATION_WORDS,
    LIGHT_WORDS,
    PLACE_WORDS,
    clock_of_light,
    elevation_deg_of_words,
    point_of_place,
)

# 1/phi = 0.6180339887..., 1 - 1/phi = 0.3819660112... (OEIS A094214), worked out by hand.
GOLDEN = {"near": 0.3819660113, "far": 0.6180339887}
THIRDS = {"near": 0.3333333333, "far": 0.6666666667}


@pytest.mark.parametrize("technique", [None, *TECHNIQUES])
def test_places_under_every_technique(technique):
    line = GOLDEN if technique == "golden ratio" else THIRDS
    near, far, middle = line["near"], line["far"], 0.5
    meant = {
        "centre": (middle, middle),
        "left": (near, middle),
        "right": (far, middle),
        "top": (middle, near),
        "bottom": (middle, far),
        "upper left": (near, near),
        "upper right": (far, near),
        "lower left": (near, far),
        "lower right": (far, far),
    }
    assert tuple(meant) == PLACE_WORDS
    for words, point in meant.items():
        assert point_of_place(words, technique) == pytest.approx(point, abs=1e-9)


@pytest.mark.parametrize(
    ("other", "words"),
    [
        ("center", "centre"),
        ("Middle", "centre"),
        ("upper", "top"),
        ("top left", "upper left"),
        ("bottom-right", "lower right"),
        ("right, upper", "upper right"),
        ("centre left", "left"),
        ("top centre", "top"),
    ],
)
def test_other_ways_to_say_a_place(other, words):
    assert point_of_place(other, None) == point_of_place(words, None)


@pytest.mark.parametrize("words", ["", "left right", "top bottom", "somewhere", "left 2"])
def test_what_names_no_place(words):
    assert point_of_place(words, None) is None


def test_light_goes_clockwise_round_the_dial_in_equal_steps():
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
def test_light_in_the_words_of_the_trade(words, clock):
    assert clock_of_light(words) == clock


@pytest.mark.parametrize(
    ("words", "elevation_deg"),
    [
        ("overhead", 90),
        ("flat-lay", 90),
        ("Bird's-eye view", 90),
        ("bird’s eye", 90),
        ("three quarter", 45),
        ("straight-on", 0),
        ("eye level", 0),
        ("high", None),
    ],
)
def test_camera_angles_in_words(words, elevation_deg):
    assert elevation_deg_of_words(words) == elevation_deg


def test_suggested_words_are_all_understood():
    assert all(clock_of_light(words) is not None for words in LIGHT_WORDS)
    assert all(elevation_deg_of_words(words) is not None for words in ELEVATION_WORDS)
