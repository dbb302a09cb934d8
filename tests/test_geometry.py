"""The frame of reference: signs of angles, clock positions, units of distances."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from auditor.geometry import (
    GOLDEN_RATIO,
    Box,
    Point,
    angle_difference_deg,
    clock_difference_hours,
    clock_from_direction,
    describe_mask,
    diagonal_px,
    distance_fraction,
    fold_angle_deg,
    line_angle_deg,
)

angles = st.floats(-1e4, 1e4)
hours = st.floats(0.01, 12)


def test_lower_left_to_upper_right_of_a_square_is_plus_45():
    assert line_angle_deg(Point(0, 1), Point(1, 0), 500, 500) == pytest.approx(45)


def test_upper_left_to_lower_right_of_a_square_is_minus_45():
    assert line_angle_deg(Point(0, 0), Point(1, 1), 500, 500) == pytest.approx(-45)


def test_rising_diagonal_of_three_to_two():
    # The angle whose tangent is two thirds.
    assert line_angle_deg(Point(0, 1), Point(1, 0), 3, 2) == pytest.approx(33.690068, abs=1e-6)


def test_level_is_0_and_upright_is_plus_90():
    assert line_angle_deg(Point(0.2, 0.5), Point(0.9, 0.5), 3, 2) == 0
    assert line_angle_deg(Point(0.5, 0.1), Point(0.5, 0.9), 3, 2) == 90
    assert line_angle_deg(Point(0.5, 0.9), Point(0.5, 0.1), 3, 2) == 90


def test_the_angle_of_a_line_does_not_depend_on_the_order_of_its_ends():
    a, b = Point(0.1, 0.8), Point(0.7, 0.3)
    assert line_angle_deg(a, b, 4, 5) == pytest.approx(line_angle_deg(b, a, 4, 5))


@pytest.mark.parametrize(
    ("angle_deg", "folded_deg"),
    [(0, 0), (90, 90), (-90, 90), (91, -89), (180, 0), (-135, 45), (270, 90), (450, 90), (-91, 89)],
)
def test_folding(angle_deg, folded_deg):
    assert fold_angle_deg(angle_deg) == pytest.approx(folded_deg)


@given(angles)
def test_folded_angles_are_in_range_and_describe_the_same_line(angle_deg):
    folded = fold_angle_deg(angle_deg)
    assert -90 < folded <= 90
    assert math.sin(math.radians(angle_deg - folded)) == pytest.approx(0, abs=1e-9)


def test_lines_on_either_side_of_upright_are_close():
    assert angle_difference_deg(89, -89) == pytest.approx(2)


@given(angles, angles)
def test_angle_differences_are_symmetric_and_at_most_90(a, b):
    assert 0 <= angle_difference_deg(a, b) <= 90
    assert angle_difference_deg(a, b) == pytest.approx(angle_difference_deg(b, a), abs=1e-9)


@pytest.mark.parametrize(
    ("right", "away", "clock"),
    [(0, 1, 12), (1, 0, 3), (0, -1, 6), (-1, 0, 9), (1, 1, 1.5), (-1, 1, 10.5)],
)
def test_clock_directions(right, away, clock):
    assert clock_from_direction(right, away) == pytest.approx(clock)


@pytest.mark.parametrize(("a", "b", "hours"), [(1, 11, 2), (11, 1, -2), (6, 12, 6), (12, 6, 6)])
def test_clock_differences_take_the_shorter_arc(a, b, hours):
    assert clock_difference_hours(a, b) == pytest.approx(hours)


@given(hours, hours)
def test_adding_the_difference_to_one_clock_gives_the_other(a, b):
    difference = clock_difference_hours(a, b)
    assert -6 < difference <= 6
    assert math.remainder(b + difference - a, 12) == pytest.approx(0, abs=1e-9)


def test_corner_to_corner_is_one_diagonal():
    assert distance_fraction(Point(0, 0), Point(1, 1), 6000, 4000) == pytest.approx(1)
    assert diagonal_px(3000, 4000) == 5000


def test_distance_across_a_frame_by_hand():
    # half of the width of a 4:3 frame: 2 of 5
    assert distance_fraction(Point(0.25, 0.5), Point(0.75, 0.5), 4, 3) == pytest.approx(0.4)


def test_golden_ratio():
    assert pytest.approx(1.6180339887, abs=1e-10) == GOLDEN_RATIO


def test_box():
    box = Box(0.2, 0.4, 0.6, 0.5)
    assert box.centre == pytest.approx((0.4, 0.45))
    assert box.area_fraction == pytest.approx(0.04)
    assert Box(0.6, 0.4, 0.2, 0.5).area_fraction == 0


def test_described_mask():
    mask = np.zeros((10, 20), dtype=bool)
    mask[2:4, 5:10] = True
    region = describe_mask(mask)
    assert region.centroid == pytest.approx((0.375, 0.3))
    assert region.bbox == pytest.approx((0.25, 0.2, 0.5, 0.4))
    assert region.area_fraction == pytest.approx(0.05)


def test_a_mask_over_the_whole_frame_is_centred():
    region = describe_mask(np.ones((7, 9), dtype=bool))
    assert region.centroid == pytest.approx((0.5, 0.5))
    assert region.bbox == pytest.approx((0, 0, 1, 1))
    assert region.area_fraction == 1


def test_an_empty_mask_has_no_region():
    assert describe_mask(np.zeros((5, 5), dtype=bool)) is None


@pytest.mark.parametrize("angle_deg", [0.0, 30.0, 90.0, -45.0])
def test_elongation_and_axis_of_a_drawn_bar(angle_deg):
    turn = math.radians(angle_deg)
    rows, columns = np.mgrid[:200, :300]
    x, y = columns - 150, -(rows - 100)
    along, across = x * math.cos(turn) + y * math.sin(turn), y * math.cos(turn) - x * math.sin(turn)
    region = describe_mask((np.abs(along) <= 60) & (np.abs(across) <= 12))
    assert region.elongation == pytest.approx(5.0, rel=0.04)  # of whole pixels
    assert abs(fold_angle_deg(region.axis_deg - angle_deg)) < 1


def test_a_disc_is_as_long_as_wide_and_a_pixel_too():
    rows, columns = np.mgrid[:200, :300]
    disc = describe_mask(np.hypot(columns - 150, rows - 100) <= 50)
    assert disc.elongation == pytest.approx(1.0, abs=0.01)
    one = np.zeros((5, 5), dtype=bool)
    one[2, 3] = True
    assert describe_mask(one).elongation == pytest.approx(1.0)
