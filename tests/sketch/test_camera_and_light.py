"""The camera's elevation, the light's arrow, handwriting and hatching."""

import math

import numpy as np
import pytest

from auditor.geometry import clock_difference_hours
from auditor.sketch.interpret import interpret
from tests.sketch.hand import Hand


@pytest.mark.parametrize("elevation_deg", [20, 35, 50])
def test_elevation_from_rims(elevation_deg):
    ratio = math.sin(math.radians(elevation_deg))
    hand = Hand(seed=elevation_deg, gap=0.03)
    hand.oval((0.5, 0.6), 0.24, ratio)
    hand.oval((0.5, 0.6), 0.17, ratio)
    hand.oval((0.25, 0.25), 0.1, ratio)
    guess = interpret(hand.frame()).camera_elevation_deg
    assert guess.value == pytest.approx(elevation_deg, abs=6)


@pytest.mark.parametrize("ratio", [0.9, 0.95, 1.0])
def test_circles_drawn_by_hand_mean_overhead(ratio):
    hand = Hand(seed=2, wobble=0.004)
    hand.oval((0.4, 0.4), 0.2, ratio, 70)
    hand.oval((0.7, 0.75), 0.1, 0.97)
    assert interpret(hand.frame()).camera_elevation_deg.value == 90


def test_side_views_alone_mean_straight_on():
    hand = Hand(seed=3, aspect_ratio=1.3)
    hand.mug((0.4, 0.6), 0.25)
    hand.bottle((0.75, 0.5), 0.35)
    assert interpret(hand.frame()).camera_elevation_deg.value <= 10


def test_spoons_and_leaves_show_no_elevation():
    hand = Hand(seed=4)
    hand.spoon((0.4, 0.3), 0.3, 70)
    hand.leaf((0.6, 0.7), 0.15, 35)
    assert interpret(hand.frame()).camera_elevation_deg is None


def with_things(seed):
    hand = Hand(seed=seed, aspect_ratio=[0.8, 1.0, 1.5][seed % 3], wobble=0.003)
    hand.oval((0.6, 0.55), 0.17, 0.7)
    hand.mug((0.22, 0.35), 0.14)
    hand.leaf((0.82, 0.2), 0.08, 40 * seed)
    return hand


def arrows_read(where, n=12):
    n_right = 0
    for seed in range(n):
        direction = (360 / n) * seed + 7
        hand = with_things(seed)
        c, s = math.cos(math.radians(direction)), math.sin(math.radians(direction))
        hand.arrow((0.5 - where * c, 0.5 + where * s), 0.11, direction, 0.35, 30)
        light = interpret(hand.frame()).light_clock
        # An arrow to the right, at 0 degrees, comes from the left, 9 o'clock; up from the front, 6.
        clock = 9 - direction / 30
        if light is not None:
            n_right += abs(clock_difference_hours(light.value, clock)) < 0.75
    return n_right / n


def test_arrows_in_the_margin_are_read_all_round_the_clock():
    assert arrows_read(0.56) >= 0.8


def test_arrows_inside_are_read_all_round_the_clock():
    assert arrows_read(0.4) >= 0.8


# Two frames of ten: the network saw few forks of so few strokes (auditor/sketch/MODEL.md, "When not
# to trust it"). Strict, so that the mark has to go once fewer are taken for arrows.
@pytest.mark.xfail(strict=True, reason="a fork of a few strokes is taken for an arrow")
def test_no_light_is_invented():
    n_invented = 0
    for seed in range(10):
        hand = with_things(seed)
        hand.fork((0.5, 0.85), 0.2, 36 * seed)
        hand.spoon((0.2, 0.7), 0.2, 20 * seed)
        if seed % 2:
            hand.thirds()
        n_invented += interpret(hand.frame()).light_clock is not None
    assert n_invented <= 1


def test_an_arrow_is_no_thing():
    hand = Hand(seed=6)
    hand.oval((0.5, 0.6), 0.2)
    hand.arrow((0.2, 0.2), 0.12, -45, 0.35)
    drawn = interpret(hand.frame())
    assert drawn.light_clock.value == pytest.approx(10.5, abs=0.5)
    assert drawn.supporting == ()


def test_handwriting_is_a_note_and_no_thing():
    n_read, n_things = 0, 0
    for seed in range(8):
        hand = Hand(seed=seed)
        hand.oval((0.5, 0.4), 0.2, 0.7)
        right = hand.letters(0.2, 0.8, 0.035, 8)
        drawn = interpret(hand.frame())
        n_things += len(drawn.supporting)
        boxes = [box for box in drawn.notes if box.top > 0.7]
        if boxes:
            left = min(box.left for box in boxes)
            n_read += abs(left - 0.2) < 0.05 and abs(max(b.right for b in boxes) - right) < 0.08
    assert n_read >= 7
    assert n_things <= 1


def test_hatching_marks_empty_space():
    hand = Hand(seed=8, aspect_ratio=1.0)
    hand.oval((0.7, 0.5), 0.15)
    for t in np.arange(0.12, 0.9, 0.05):
        hand.line((0.05, t), (0.33, t - 0.08))
    drawn = interpret(hand.frame())
    assert drawn.empty_side.value == "left"
    assert drawn.empty_fraction.value == pytest.approx(0.28 * 0.8, abs=0.06)
    assert drawn.supporting == ()
