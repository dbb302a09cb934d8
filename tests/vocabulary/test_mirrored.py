"""What a mirror exchanges and what it leaves."""

import pytest

from auditor.geometry import Box, Point
from auditor.vocabulary.mirrored import (
    mirrored_point,
    mirrored_side,
    mirrored_slope,
    mirrored_zone,
)
from auditor.vocabulary.places import zone_of_place
from auditor.vocabulary.sides import CORNERS, SIDES
from auditor.vocabulary.zones import Zone

SUBJECT = Box(0.1, 0.3, 0.4, 0.6)


@pytest.mark.parametrize(
    ("place", "other"),
    [
        ("left", "right"),
        ("upper right", "upper left"),
        ("left third", "right third"),
        ("lower left corner", "lower right corner"),
        ("top", "top"),
        ("centre", "centre"),
        ("left of the subject", "right of the subject"),
        ("behind", "behind"),
        ("upper left or right", "upper right or left"),
    ],
)
def test_a_place_becomes_the_one_on_the_other_side(place, other):
    turned, wanted = mirrored_zone(zone_of_place(place, None)), zone_of_place(other, None)
    around, expected = turned.around(SUBJECT), wanted.around(SUBJECT)
    assert turned.words == wanted.words
    assert around.point == pytest.approx(expected.point)
    assert [tuple(box) for box in around.boxes] == [
        pytest.approx(tuple(box)) for box in expected.boxes
    ]


def test_a_position_in_the_words_of_several_places_is_turned_with_its_numbers():
    at = Point(0.3, 0.7)
    zone = Zone("30% across, 70% down or left", (Box(*at, *at), Box(0, 0.3, 0.3, 0.6)), at)
    turned = mirrored_zone(zone)
    assert turned.words == "70% across, 70% down or right"
    assert turned.point == mirrored_point(at) == pytest.approx((0.7, 0.7))


@pytest.mark.parametrize("side", [*SIDES, *CORNERS])
def test_twice_in_the_mirror_is_as_before(side):
    other = mirrored_side(side)
    assert mirrored_side(other) == side
    assert (other == side) == ("left" not in side and "right" not in side)


def test_rising_becomes_falling():
    assert [mirrored_slope(word) for word in ("rising", "falling", "none")] == [
        "falling",
        "rising",
        "none",
    ]
