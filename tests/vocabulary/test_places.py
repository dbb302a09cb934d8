"""Names of places, read and written."""

from __future__ import annotations

import numpy as np
import pytest

from auditor.geometry import Box, Point
from auditor.vocabulary.places import (
    FRAME_WORDS,
    PLACE_WORDS,
    RELATION_WORDS,
    place_words,
    zone_of_place,
)
from auditor.vocabulary.techniques import TECHNIQUES

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
        assert zone_of_place(words, technique).point == pytest.approx(point, abs=1e-9)


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
        ("left of centre", "left"),
        ("right of the centre", "right"),
        ("top centre", "top"),
        ("upper edge", "top edge"),
        ("bottom-left corner", "lower left corner"),
        ("Lower third", "bottom third"),
        ("behind the subject", "behind"),
        ("in front of the dish", "in front"),
        ("next to the subject", "beside"),
        ("upper left third", "upper left"),
        ("in the upper right", "upper right"),
        ("on the right-hand side", "right"),
        ("dead centre", "centre"),
        ("off-center", "off centre"),
        ("at a power point", "on an intersection"),
        ("on a thirds intersection", "on an intersection"),
        ("on a third", "on a line of thirds"),
        ("in the background", "behind"),
        ("in the foreground", "in front"),
        ("to the left of the plate", "left of the subject"),
        ("right of it", "right of the subject"),
        ("scattered around", "around the subject"),
        ("underneath it", "under the subject"),
    ],
)
def test_other_ways_to_write_a_place(other, words):
    assert zone_of_place(other, None) == zone_of_place(words, None)


@pytest.mark.parametrize(
    "words",
    [
        "",
        "of",
        "of centre",
        "left of",
        "left right",
        "top bottom",
        "somewhere",
        "left 2",
        "edge",
        "corner",
        "left corner",
        "upper left edge",
        "centre third",
    ],
)
def test_words_that_name_no_place(words):
    assert zone_of_place(words, None) is None


@pytest.mark.parametrize(
    ("x", "y", "words"),
    [
        (2 / 3, 1 / 3, "upper right"),
        (1 / 3, 2 / 3, "lower left"),
        (0.5, 0.5, "centre"),
        (0.5, 0.1, "upper centre"),
        (0.1, 0.5, "left of centre"),
        (0.4, 0.6, "centre"),  # the middle fifth, its edges included
        (0.399, 0.601, "lower left"),
    ],
)
def test_a_position_has_a_name(x, y, words):
    assert place_words(x, y) == words


@pytest.mark.parametrize("technique", [None, *TECHNIQUES])
def test_the_name_of_any_position_is_read_as_a_place_of_that_name(technique):
    names = {place_words(x, y) for x in np.linspace(0, 1, 41) for y in np.linspace(0, 1, 41)}
    assert len(names) == len(PLACE_WORDS)
    for name in names:
        assert place_words(*zone_of_place(name, technique).point) == name


W, H = 1500, 1000


@pytest.mark.parametrize("technique", [None, *TECHNIQUES])
@pytest.mark.parametrize("words", [*PLACE_WORDS, *FRAME_WORDS])
def test_a_zone_contains_its_own_position_and_keeps_its_name(words, technique):
    zone = zone_of_place(words, technique)
    assert zone.words == words
    assert zone.distance(zone.point, W, H) <= 1e-9
    assert zone == zone_of_place(zone.words, technique)


def test_a_zone_runs_from_the_line_of_thirds_to_the_edge_of_the_frame():
    right = zone_of_place("right", None)
    assert right.distance(Point(0.99, 0.5), W, H) < 0
    assert right.distance(Point(0.70, 0.5), W, H) < 0
    # 0.6667 - 0.5 of the width is 250 px, of a diagonal of 1802.8 px.
    assert right.distance(Point(0.5, 0.5), W, H) == pytest.approx(250 / 1802.78, abs=1e-4)
    # 0.3333 - 0.1 of the height is 233.3 px.
    assert right.distance(Point(0.8, 0.1), W, H) == pytest.approx(233.33 / 1802.78, abs=1e-4)


def test_the_middle_is_a_point():
    centre = zone_of_place("centre", None)
    assert centre.distance(Point(0.6, 0.5), W, H) == pytest.approx(150 / 1802.78, abs=1e-4)


@pytest.mark.parametrize("words", [*PLACE_WORDS, *FRAME_WORDS])
def test_the_mirror_of_a_zone_is_the_zone_of_the_other_side(words):
    other = words.replace("left", "RIGHT").replace("right", "left").lower()
    zone, mirrored = zone_of_place(words, None), zone_of_place(other, None)
    for x in np.linspace(0, 1, 11):
        for y in np.linspace(0, 1, 11):
            near = mirrored.distance(Point(1 - x, y), W, H)
            assert zone.distance(Point(x, y), W, H) == pytest.approx(near, abs=1e-9)


@pytest.mark.parametrize("words", RELATION_WORDS)
def test_places_named_after_the_subject_lie_around_it(words):
    zone = zone_of_place(words, None)
    assert (zone.words, zone.point) == (words, None)
    around = zone.around(Box(0.4, 0.4, 0.6, 0.6))
    above, below, left, right, middle = (
        (0.5, 0.2), (0.5, 0.9), (0.1, 0.5), (0.9, 0.5), (0.5, 0.5)
    )  # fmt: skip
    inside = {
        "behind": {above},
        "in front": {below},
        "beside": {left, right},
        "left of the subject": {left},
        "right of the subject": {right},
        "around the subject": {above, below, left, right},
        "on the subject": {middle},
        "under the subject": {middle},
    }[words]
    for at in (above, below, left, right, middle):
        assert (around.distance(Point(*at), W, H) <= 0) == (at in inside)
    assert zone.around(None).boxes


def test_both_sides_are_beside():
    beside = zone_of_place("beside", None).around(Box(0.4, 0.4, 0.6, 0.6))
    assert beside.distance(Point(0.1, 0.5), W, H) < 0 > beside.distance(Point(0.9, 0.5), W, H)
