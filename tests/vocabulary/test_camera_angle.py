"""Names of camera angles, read and written."""

from __future__ import annotations

import pytest

from auditor.vocabulary.camera_angle import (
    CAMERA_WORDS,
    ELEVATION_WORDS,
    camera_words,
    elevation_deg_of_words,
)


@pytest.mark.parametrize(
    ("words", "elevation_deg"),
    [
        ("overhead", 90),
        ("flat-lay", 90),
        ("Bird's-eye view", 90),
        ("bird’s eye", 90),
        ("high", 70),
        ("three quarter", 45),
        ("low angle", 22.5),
        ("straight-on", 0),
        ("eye level", 0),
        ("level with the table", 0),
        ("upwards", None),
        ("", None),
    ],
)
def test_camera_angles_in_words(words, elevation_deg):
    assert elevation_deg_of_words(words) == elevation_deg


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
        assert camera_words(elevation_deg_of_words(name)) == name


def test_words_between_the_usual_angles_mean_the_middle_of_their_zone():
    lower_end = 0.0
    for upper_end, words in CAMERA_WORDS:
        if words in ("low", "high"):
            assert elevation_deg_of_words(words) == (lower_end + upper_end) / 2
        lower_end = upper_end


def test_suggested_words_are_all_understood():
    assert [elevation_deg_of_words(words) for words in ELEVATION_WORDS] == [90, 70, 45, 22.5, 0]
