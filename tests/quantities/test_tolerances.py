"""The reasons given for the default tolerances, calculated."""

from __future__ import annotations

import math

import pytest

from auditor.geometry import Point, distance_fraction, line_angle_deg
from auditor.quantities import tolerance_rule
from auditor.vocabulary.light import LIGHT_WORDS, clock_of_light
from auditor.vocabulary.places import zone_of_place

FORMATS = [(4, 5), (1, 1), (3, 2), (16, 9)]


def default(name):
    return tolerance_rule(name).default


@pytest.mark.parametrize("frame", FORMATS)
def test_a_subject_on_its_point_is_nearer_to_it_than_to_the_centre(frame):
    third = distance_fraction(zone_of_place("upper right", None).point, Point(0.5, 0.5), *frame)
    assert third == pytest.approx(1 / 6)
    assert third / 2 - 0.005 < default("subject") < third / 2


def test_supporting_elements_stay_at_their_own_point_of_a_4_to_5_frame():
    left, right = (zone_of_place(f"lower {side}", None).point for side in ("left", "right"))
    half = distance_fraction(left, right, 4, 5) / 2
    assert half - 0.005 < default("supporting") < half


@pytest.mark.parametrize("frame", FORMATS)
def test_thirds_and_golden_ratio_lie_about_one_technique_tolerance_apart(frame):
    points = [
        zone_of_place("upper right", name).point for name in ("rule of thirds", "golden ratio")
    ]
    assert distance_fraction(*points, *frame) == pytest.approx(0.0486, abs=5e-5)
    assert default("technique") == pytest.approx(0.0486, abs=0.002)


def test_a_light_in_words_is_distinguished_from_its_neighbours():
    step = clock_of_light(LIGHT_WORDS[1])
    assert step / 2 < default("light") < step


def test_diagonals_of_neighbouring_formats_differ_by_less_than_the_tolerance():
    angles = [
        line_angle_deg(Point(0, 1), Point(1, 0), *frame) for frame in ((2, 3), (4, 5), (1, 1))
    ]
    steps = [
        later - earlier for earlier, later in zip(angles[::-1][1:], angles[::-1], strict=False)
    ]
    assert max(map(abs, steps)) < default("diagonal") < 2 * max(map(abs, steps))


def test_rim_at_the_edge_of_the_elevation_tolerance():
    # A circle seen at elevation e has axis ratio sin e.
    above = math.sin(math.radians(45 + default("camera_elevation")))
    assert above == pytest.approx(0.82, abs=0.005)


def test_neighbouring_formats_are_distinguished():
    assert default("aspect_ratio") < (4 / 5 - 3 / 4) / 2
