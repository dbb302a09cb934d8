"""The axis of a drawn thing is recovered, and a mask is split into its large parts."""

import math

import numpy as np
import pytest

from auditor.geometry import angle_difference_deg
from auditor.mask_axis import axis_of, large_parts

SHAPE = (300, 400)
ANGLES_DEG = [-80, -61, -45, -20, -7, 0, 13, 30, 45, 68, 90]


def rectangle(angle_deg, length, width, centre=(200, 150), shape=SHAPE):
    rows, columns = np.mgrid[: shape[0], : shape[1]] + 0.5
    turn = math.radians(angle_deg)
    x, y = columns - centre[0], rows - centre[1]
    along = x * math.cos(turn) - y * math.sin(turn)
    across = x * math.sin(turn) + y * math.cos(turn)
    return (np.abs(along) <= length / 2) & (np.abs(across) <= width / 2)


def banana(angle_deg, bend_deg=90.0, radius=110.0, width=30.0):
    """A bent strip whose ends lie on a line at an angle."""
    rows, columns = np.mgrid[: SHAPE[0], : SHAPE[1]] + 0.5
    across = math.radians(angle_deg - 90)
    centre = 200 + radius * math.cos(across) * 0.9, 150 - radius * math.sin(across) * 0.9
    x, y = columns - centre[0], centre[1] - rows
    turn = np.degrees(np.arctan2(y, x)) - (angle_deg + 90)
    off = np.abs((turn + 180) % 360 - 180)
    return (np.abs(np.hypot(x, y) - radius) <= width / 2) & (off <= bend_deg / 2)


@pytest.mark.parametrize("angle_deg", ANGLES_DEG)
@pytest.mark.parametrize(("length", "width"), [(220, 20), (200, 80)])
def test_a_drawn_rectangle(angle_deg, length, width):
    axis = axis_of(rectangle(angle_deg, length, width))
    assert angle_difference_deg(axis.angle_deg, angle_deg) < 0.3
    assert axis.elongation == pytest.approx(length / width, rel=0.03)
    assert axis.centre == pytest.approx((0.5, 0.5), abs=0.005)
    diagonal = math.hypot(*SHAPE)
    # The corners reach further along the axis than the middle of the short sides by a pixel.
    assert axis.length_fraction * diagonal == pytest.approx(length, abs=2)
    left, right = axis.ends
    assert left.x <= right.x + 0.01
    reach = math.hypot((right.x - left.x) * SHAPE[1], (right.y - left.y) * SHAPE[0])
    assert reach == pytest.approx(length, abs=2)


@pytest.mark.parametrize("angle_deg", ANGLES_DEG)
def test_the_axis_of_a_bent_thing_joins_its_ends(angle_deg):
    assert angle_difference_deg(axis_of(banana(angle_deg)).angle_deg, angle_deg) < 1


def test_a_disc_and_a_single_pixel_are_not_long():
    rows, columns = np.mgrid[: SHAPE[0], : SHAPE[1]]
    disc = np.hypot(rows - 150, columns - 200) < 80
    assert axis_of(disc).elongation == pytest.approx(1, abs=0.01)
    pixel = np.zeros(SHAPE, np.bool_)
    pixel[10, 20] = True
    assert axis_of(pixel).elongation == pytest.approx(1)
    assert axis_of(pixel).centre == pytest.approx((20.5 / 400, 10.5 / 300))


def test_a_mirrored_mask_has_the_mirrored_axis():
    mask = rectangle(33, 180, 40, centre=(150, 120))
    axis, mirrored = axis_of(mask), axis_of(mask[:, ::-1])
    assert mirrored.angle_deg == pytest.approx(-axis.angle_deg)
    assert mirrored.ends[0].x == pytest.approx(1 - axis.ends[1].x)
    assert mirrored.elongation == pytest.approx(axis.elongation)


def test_large_parts_come_largest_first_without_crumbs():
    large = rectangle(0, 100, 60, centre=(100, 100))
    small = rectangle(0, 60, 50, centre=(300, 200))
    crumb = rectangle(0, 8, 8, centre=(300, 50))
    parts = large_parts(large | small | crumb)
    assert [np.array_equal(*pair) for pair in zip(parts, (large, small), strict=True)] == [True] * 2
    assert large_parts(np.zeros(SHAPE, np.bool_)) == []
