"""Technique fit: pure geometry of the frame, checked by hand for 3:2, 4:5 and 1:1."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from auditor.geometry import Point, distance_fraction
from auditor.golden_spiral import golden_spiral_curve
from auditor.measurements.technique_fit import (
    DIVISIONS,
    fit_techniques,
    golden_triangle_points,
)

FRAMES = [(3, 2), (4, 5), (1, 1), (6000, 4000)]
fractions = st.floats(0, 1)
sides = st.integers(100, 9000)


def test_every_division_is_fitted_in_order():
    assert tuple(fit_techniques(Point(0.2, 0.3), 3, 2)) == DIVISIONS


@pytest.mark.parametrize("frame", FRAMES)
def test_middle_of_the_frame(frame):
    fits = fit_techniques(Point(0.5, 0.5), *frame)
    for name in ("centred", "symmetry", "diagonals"):
        assert fits[name].distance == pytest.approx(0)
        assert fits[name].point == pytest.approx((0.5, 0.5))
    # From the middle to a crossing of thirds: a sixth of each side, so a sixth of the diagonal.
    assert fits["rule of thirds"].distance == pytest.approx(1 / 6)
    # 0.618 - 0.5 of each side.
    assert fits["golden ratio"].distance == pytest.approx(0.118034, abs=1e-6)


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("x", [1 / 3, 2 / 3])
@pytest.mark.parametrize("y", [1 / 3, 2 / 3])
def test_crossing_of_thirds(frame, x, y):
    fit = fit_techniques(Point(x, y), *frame)["rule of thirds"]
    assert fit.distance == pytest.approx(0)
    assert fit.point == pytest.approx((x, y))


def test_golden_ratio_divides_the_part_like_the_whole():
    point = fit_techniques(Point(0.9, 0.1), 3, 2)["golden ratio"].point
    assert point.x / (1 - point.x) == pytest.approx(1 / point.x)
    assert point.x == pytest.approx(0.618034, abs=1e-6)
    assert point.y == pytest.approx(0.381966, abs=1e-6)


def test_golden_triangles_of_three_to_two_by_hand():
    # Foot of the perpendicular from a corner: w^2 : h^2 = 9 : 4 along the diagonal of 13.
    points = {(round(p.x * 13, 9), round(p.y * 13, 9)) for p in golden_triangle_points(3, 2)}
    assert points == {(4, 4), (9, 9), (4, 9), (9, 4)}


def test_golden_triangles_of_four_to_five_by_hand():
    # w^2 : h^2 = 16 : 25 along the diagonal of 41.
    points = {(round(p.x * 41, 9), round(p.y * 41, 9)) for p in golden_triangle_points(4, 5)}
    assert points == {(16, 16), (25, 25), (16, 25), (25, 16)}


def test_golden_triangles_of_a_square_meet_in_the_middle():
    assert set(golden_triangle_points(1, 1)) == {Point(0.5, 0.5)}


@pytest.mark.parametrize("frame", FRAMES)
def test_perpendiculars_meet_the_diagonals_at_right_angles(frame):
    width, height = frame
    corners = [Point(0, 1), Point(1, 0), Point(0, 0), Point(1, 1)]
    diagonals = [(width, height)] * 2 + [(width, -height)] * 2
    for corner, foot, (dx, dy) in zip(
        corners, golden_triangle_points(*frame), diagonals, strict=True
    ):
        across = (foot.x - corner.x) * width, (foot.y - corner.y) * height
        assert across[0] * dx + across[1] * dy == pytest.approx(0, abs=1e-9 * width * height)


def test_diagonals_of_three_to_two_by_hand():
    # (1/2, 0) in 3:2 is the point (1.5, 0); its distance from the falling diagonal through
    # (0, 0) and (3, 2) is |1.5 * 2| / sqrt(13), and the diagonal is sqrt(13) long: 3 / 13.
    fit = fit_techniques(Point(0.5, 0), 3, 2)["diagonals"]
    assert fit.distance == pytest.approx(3 / 13)


def test_diagonals_of_a_square_by_hand():
    # A quarter of the side from the middle, straight up: 0.25 / sqrt(2) of the side.
    fit = fit_techniques(Point(0.5, 0.25), 1, 1)["diagonals"]
    assert fit.distance == pytest.approx(0.125)
    assert fit.point.y == pytest.approx(0.375)


def test_symmetry_is_the_upright_axis():
    fit = fit_techniques(Point(0.7, 0.2), 4, 5)["symmetry"]
    assert fit.point == pytest.approx((0.5, 0.2))
    assert fit.distance == pytest.approx(0.2 * 4 / math.sqrt(41))


# (5 + sqrt 5) / 10 = 0.7236067977 (OEIS A242671), and its complement to 1.
@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("x", [0.2763932023, 0.7236067977])
@pytest.mark.parametrize("y", [0.2763932023, 0.7236067977])
def test_eyes_of_the_golden_spiral(frame, x, y):
    fit = fit_techniques(Point(x, y), *frame)["golden spiral"]
    assert fit.distance == pytest.approx(0, abs=1e-9)
    assert fit.point == pytest.approx((x, y))


def test_in_a_golden_rectangle_the_eye_is_where_two_diagonals_meet_at_a_right_angle():
    # The diagonals of the whole and of the rectangle that a square leaves are perpendicular.
    width, height = 1.6180339887, 1.0
    feet = {(round(p.x, 9), round(p.y, 9)) for p in golden_triangle_points(width, height)}
    eyes = {
        tuple(round(c, 9) for c in fit_techniques(Point(x, y), 1618, 1000)["golden spiral"].point)
        for x in (0.1, 0.9)
        for y in (0.1, 0.9)
    }
    assert feet == eyes


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("eye", [Point(x, y) for x in (0.28, 0.72) for y in (0.28, 0.72)])
def test_the_spiral_begins_at_a_corner_and_winds_into_its_eye(frame, eye):
    curve = golden_spiral_curve(eye, *frame)
    end = fit_techniques(eye, *frame)["golden spiral"].point
    assert {round(curve[0].x, 9), round(curve[0].y, 9)} <= {0.0, 1.0}
    assert distance_fraction(curve[-1], end, *frame) < 0.02
    for a, b in pairwise(curve):  # no jumps
        assert distance_fraction(a, b, *frame) < 0.2
    assert all(-1e-9 <= c <= 1 + 1e-9 for point in curve for c in point)


def test_quarters_of_the_spiral_shrink_by_the_golden_ratio():
    curve = golden_spiral_curve(Point(0.7, 0.3), 1.6180339887, 1)
    chords = [
        math.hypot((curve[k + 8].x - curve[k].x) * 1.6180339887, curve[k + 8].y - curve[k].y)
        for k in range(0, len(curve) - 8, 9)
    ]
    for longer, shorter in pairwise(chords):
        assert longer / shorter == pytest.approx(1.6180339887, abs=1e-6)


def test_ends_of_the_quarters_lie_on_the_logarithmic_spiral_of_the_golden_ratio():
    # r = r0 phi^(2 theta / pi): a quarter turn around the pole shrinks it by phi, and the pole of
    # the whirling squares is the crossing of the diagonals of the first two golden rectangles
    # (H. E. Huntley, The Divine Proportion, 1970, chapter 13; from memory).
    phi = 1.6180339887
    pole = crossing((0, 1), (phi, 0), (1, 0), (phi, 1))
    curve = golden_spiral_curve(Point(0.7, 0.3), phi, 1)
    ends = [np.array([p.x * phi, p.y]) - pole for p in [curve[0], *curve[8::9]]]
    for outer, inner in pairwise(ends):
        assert np.hypot(*outer) / np.hypot(*inner) == pytest.approx(phi, abs=1e-6)
        assert outer @ inner == pytest.approx(0, abs=1e-8)
    # The quarter circles deviate from it by less than 4 % of the radius everywhere.
    turns = np.unwrap([math.atan2(p.y - pole[1], p.x * phi - pole[0]) for p in curve])
    radii = [math.hypot(p.x * phi - pole[0], p.y - pole[1]) for p in curve]
    ideal = radii[0] * phi ** (-np.abs(turns - turns[0]) / (math.pi / 2))
    assert np.abs(np.array(radii) / ideal - 1).max() < 0.04


def crossing(a, b, c, d):
    """Crossing of the line through two positions with the line through two others."""
    ahead = np.subtract(b, a)
    system = np.column_stack([ahead, np.subtract(c, d)])
    return np.array(a) + np.linalg.solve(system, np.subtract(c, a))[0] * ahead


@pytest.mark.parametrize("frame", FRAMES)
def test_the_four_spirals_mirror_each_other(frame):
    curves = {
        eye: np.array(golden_spiral_curve(Point(*eye), *frame))
        for eye in ((0.3, 0.3), (0.7, 0.3), (0.3, 0.7), (0.7, 0.7))
    }
    assert curves[0.3, 0.3] == pytest.approx(curves[0.7, 0.3] * (-1, 1) + (1, 0))
    assert curves[0.3, 0.3] == pytest.approx(curves[0.3, 0.7] * (1, -1) + (0, 1))
    assert curves[0.7, 0.7] == pytest.approx(1 - curves[0.3, 0.3])


@given(fractions, fractions, sides, sides)
def test_transposing_the_frame_keeps_every_distance(x, y, width, height):
    one = fit_techniques(Point(x, y), width, height)
    other = fit_techniques(Point(y, x), height, width)
    for name in set(DIVISIONS) - {"symmetry"}:  # its axis stays upright
        assert one[name].distance == pytest.approx(other[name].distance, abs=1e-9)


@given(fractions, fractions, sides, sides)
def test_distance_is_that_to_the_point(x, y, width, height):
    subject = Point(x, y)
    for fit in fit_techniques(subject, width, height).values():
        assert fit.distance == distance_fraction(subject, fit.point, width, height)
        assert 0 <= fit.distance <= 1
        assert -1e-9 <= fit.point.x <= 1 + 1e-9
        assert -1e-9 <= fit.point.y <= 1 + 1e-9


@given(fractions, fractions, sides, sides)
def test_mirroring_changes_no_distance(x, y, width, height):
    one = fit_techniques(Point(x, y), width, height)
    other = fit_techniques(Point(1 - x, y), width, height)
    for name in DIVISIONS:
        assert one[name].distance == pytest.approx(other[name].distance, abs=1e-9)


@given(fractions, fractions)
def test_only_the_aspect_ratio_of_the_frame_matters(x, y):
    small, large = (fit_techniques(Point(x, y), 3 * k, 2 * k) for k in (1, 1500))
    for name in DIVISIONS:
        assert small[name].distance == pytest.approx(large[name].distance, abs=1e-9)
