"""Forms from each camera angle: drawn, and recovered from their points."""

import math

import pytest

from auditor.geometry import Box, Point
from auditor.plan_sheet.drawing import box_of
from auditor.plan_sheet.polygons import area_and_centroid, clipped, is_inside, outside_of
from auditor.plan_sheet.shapes_of_things import form_from

SQUARE = (Point(0, 0), Point(4, 0), Point(4, 4), Point(0, 4))


@pytest.mark.parametrize("elevation_deg", [0, 3, 10, 19, 20, 45, 70, 90])
def test_a_form_has_an_area_of_one_around_its_centroid(elevation_deg):
    area, centroid = area_and_centroid(form_from(elevation_deg).outline)
    assert abs(area) == pytest.approx(1)
    assert centroid == pytest.approx((0, 0), abs=1e-9)


@pytest.mark.parametrize("elevation_deg", [20, 30, 45, 60, 90])
def test_a_round_thing_is_an_oval_of_ratio_sine_of_the_elevation(elevation_deg):
    form = form_from(elevation_deg)
    box = box_of(form.outline)
    ratio = (box.bottom - box.top) / (box.right - box.left)
    assert ratio == pytest.approx(math.sin(math.radians(elevation_deg)), rel=1e-3)
    assert form.inner == ()


def test_level_with_the_table_one_sees_the_side():
    box = box_of(form_from(0).outline)
    assert box.bottom - box.top > 0.8 * (box.right - box.left)
    assert form_from(0).inner == ()


@pytest.mark.parametrize("elevation_deg", [5, 10, 15])
def test_a_little_higher_one_sees_into_the_rim(elevation_deg):
    form = form_from(elevation_deg)
    (front,) = form.inner
    rim = box_of(front)
    depth, half = rim.bottom - rim.top, (rim.right - rim.left) / 2
    assert depth / half == pytest.approx(math.sin(math.radians(elevation_deg)), rel=0.02)
    assert rim.right == pytest.approx(box_of(form.outline).right)


def test_a_polygon_is_cut_at_a_box():
    area, centroid = area_and_centroid(clipped(SQUARE, Box(2, -1, 9, 3)))
    assert area == pytest.approx(6)
    assert centroid == pytest.approx((3, 1.5))
    assert clipped(SQUARE, Box(5, 5, 6, 6)) == ()


def test_a_line_is_kept_where_no_thing_is():
    assert is_inside(SQUARE, Point(2, 2))
    first, last = outside_of((Point(-4, 2), Point(8, 2)), [SQUARE], 0.5)
    ends = [point.x for part in (first, last) for point in part]
    assert ends == pytest.approx([-4, 0, 4, 8], abs=0.6)
