"""Names of camera angles, read and written."""

from __future__ import annotations

import pytest

from auditor.vocabulary.camera_angle import (
    ANGLES,
    CAMERA_WORDS,
    camera_words,
    elevation_of_words,
)


@pytest.mark.parametrize(
    ("words", "nominal", "span"),
    [
        ("overhead", 90, (80, 90)),
        ("flat-lay", 90, (80, 90)),
        ("flatlay", 90, (80, 90)),
        ("Bird's-eye view", 90, (80, 90)),
        ("bird’s eye", 90, (80, 90)),
        ("high", 70, (60, 80)),
        ("three quarter", 45, (30, 60)),
        ("3/4", 45, (30, 60)),
        ("3/4 view", 45, (30, 60)),
        ("low angle", 22.5, (15, 30)),
        ("straight-on", 0, (0, 15)),
        ("head on", 0, (0, 15)),
        ("eye level", 0, (0, 15)),
        ("level with the table", 0, (0, 15)),
        ("45", 45, (45, 45)),
        ("45°", 45, (45, 45)),
        ("45 degrees", 45, (45, 45)),
        ("about 45 degrees", 45, (45, 45)),
        ("a 45 degree angle", 45, (45, 45)),
        ("22,5°", 22.5, (22.5, 22.5)),
        ("40 to 50", 45, (40, 50)),
        ("40-50°", 45, (40, 50)),
        ("between 40 and 50 degrees", 45, (40, 50)),
        ("at least 60", 60, (60, 90)),
        ("under 20 degrees", 20, (0, 20)),
    ],
)
def test_camera_angles_in_words(words, nominal, span):
    found = elevation_of_words(words)
    assert (found.nominal, found.spans) == (nominal, (span,))


@pytest.mark.parametrize("words", ["upwards", "", "120 degrees", "50 to 40", "45 mm"])
def test_words_that_name_no_camera_angle(words):
    assert elevation_of_words(words) is None


# The three usual angles of food photography: straight on, 45 degrees, overhead (common practice,
# no source).
@pytest.mark.parametrize(
    ("deg", "words"),
    [
        (0, "level with the table"),
        (15, "level with the table"),
        (25, "low"),
        (45, "three-quarter"),
        (60, "three-quarter"),
        (70, "high"),
        (90, "overhead"),
    ],
)
def test_a_camera_angle_has_a_name(deg, words):
    assert camera_words(deg) == words


def test_the_name_of_any_angle_is_read_as_an_angle_of_that_name():
    names = {camera_words(deg / 4) for deg in range(361)}
    assert names == {words for _, words in CAMERA_WORDS}
    for name in names:
        assert camera_words(elevation_of_words(name).nominal) == name


def test_the_zones_of_a_plan_are_those_of_the_report():
    ends = [(angle.least_deg, angle.most_deg) for angle in reversed(ANGLES)]
    assert [most for _, most in ends] == [end for end, _ in CAMERA_WORDS]
    assert [least for least, _ in ends] == [0, *(end for end, _ in CAMERA_WORDS[:-1])]


def test_words_between_the_usual_angles_mean_the_middle_of_their_zone():
    for angle in ANGLES:
        if angle.words in ("low", "three-quarter", "high"):
            assert angle.nominal_deg == (angle.least_deg + angle.most_deg) / 2
