"""The focal length in units of a picture, whole or cropped, worked out by hand."""

import math

import pytest

from auditor.measurements.camera_elevation.lens import lens_of
from tests.measurements.drawn_dishes import FULL_FRAME_DIAGONAL_MM


@pytest.mark.parametrize(
    ("width", "height"), [(3000, 2000), (2000, 3000), (4032, 3024), (640, 427), (3024, 4032)]
)
def test_a_picture_of_an_exposed_ratio_is_whole(width, height):
    lens = lens_of(width, height, 50)
    assert lens.focal_length == pytest.approx(50 / FULL_FRAME_DIAGONAL_MM)
    assert lens.focal_length_error == 0
    assert lens.centre_error == (0, 0)
    assert lens.cropped_from is None


def test_the_smallest_frame_around_a_crop_is_named():
    assert lens_of(1600, 900, 50).cropped_from == "3:2"
    assert lens_of(4, 5, 50).cropped_from == "4:3"
    assert lens_of(1, 1, 50).cropped_from == "4:3"


def test_a_crop_has_a_longer_focal_length_in_its_own_diagonals():
    # 4:5 upright from a level 3:2 frame of height 1: 0.8 by 1 from 1.5 by 1.
    lens = lens_of(4, 5, 50, exposed_ratio=1.5)
    enlarged = math.hypot(1.5, 1) / math.hypot(0.8, 1)
    assert lens.focal_length == pytest.approx(50 / FULL_FRAME_DIAGONAL_MM * enlarged)
    assert lens.focal_length_error == pytest.approx(0)  # the frame is known, its size, too
    assert lens.centre_error[0] == pytest.approx(0.4 * 0.7 / math.hypot(0.8, 1))
    assert lens.centre_error[1] == 0
    assert lens.cropped_from == "3:2"


def test_without_metadata_several_frames_are_possible():
    lens = lens_of(4, 5, 50)
    lengths = [length for length, _ in lens.possible]
    assert sum(chance for _, chance in lens.possible) == pytest.approx(1)
    assert min(lengths) < lens.focal_length < max(lengths)
    assert lens.focal_length_error > 0.05


def test_a_crop_from_above_and_below_moves_the_horizon():
    # 16:9 from 3:2 of the same width, 16: of the height, 10.67, it leaves 9.
    lens = lens_of(16, 9, 50, exposed_ratio=1.5)
    shift = 0.4 * (16 / 1.5 - 9) / math.hypot(16, 9)
    assert lens.horizon_error_deg == pytest.approx(
        math.degrees(math.atan(shift / lens.focal_length))
    )
    assert lens_of(4, 5, 50, exposed_ratio=1.5).horizon_error_deg == 0  # from the sides alone


def test_the_metadata_of_a_whole_picture_change_nothing():
    assert lens_of(1500, 1000, 50, exposed_ratio=1.5) == lens_of(1500, 1000, 50)


def test_an_unusual_frame_is_named_by_its_ratio():
    assert lens_of(1, 1, 50, exposed_ratio=1.85).cropped_from == "1.85:1"


def test_turning_a_picture_turns_its_crop():
    level, upright = lens_of(1600, 900, 50), lens_of(900, 1600, 50)
    assert upright.focal_length == pytest.approx(level.focal_length)
    assert upright.centre_error == pytest.approx(level.centre_error[::-1])


def test_an_unknown_focal_length_may_be_that_of_a_phone():
    lens = lens_of(1500, 1000, None)
    assert not lens.is_known
    assert min(length for length, _ in lens.possible) == pytest.approx(26 / FULL_FRAME_DIAGONAL_MM)
