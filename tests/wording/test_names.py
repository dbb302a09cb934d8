import pytest

from auditor.record.picture_record import (
    ReasonRecord,
)
from auditor.wording.names import (
    camera_words,
    direction_words,
    in_sentence,
    light_words,
    place_words,
    title,
    why_not,
)
from tests.records import item


# The three usual angles of food photography: straight on, 45 degrees, overhead (common practice,
# no source).
@pytest.mark.parametrize(
    ("deg", "words"),
    [
        (0, "level with the table"),
        (25, "low"),
        (45, "three-quarter"),
        (70, "high"),
        (90, "overhead"),
    ],
)
def test_a_camera_angle_has_a_name(deg, words):
    assert camera_words(deg) == words


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        (12.0, "back light"),
        (10.5, "three-quarter back light from the left"),
        (1.5, "three-quarter back light from the right"),
        (9.0, "side light from the left"),
        (3.0, "side light from the right"),
        (6.0, "front light"),
        (7.0, "front light from the left"),
    ],
)
def test_light_has_a_name(hours, words):
    assert light_words(hours) == words


def test_mirrored_light_differs_in_its_side_only():
    for hours in (0.5, 1.0, 2.5, 4.0, 5.5):
        mirrored = light_words(12 - hours)
        assert mirrored.replace("left", "right") == light_words(hours)


@pytest.mark.parametrize(
    ("x", "y", "words"),
    [
        (2 / 3, 1 / 3, "upper right"),
        (1 / 3, 2 / 3, "lower left"),
        (0.5, 0.5, "centre"),
        (0.5, 0.1, "upper centre"),
        (0.1, 0.5, "left of centre"),
    ],
)
def test_a_place_has_a_name(x, y, words):
    assert place_words(x, y) == words


def test_a_direction_leaves_out_what_one_does_not_see():
    assert direction_words(10, 1) == "right of"
    assert direction_words(-1, -10) == "above"
    assert direction_words(-10, 8) == "below and left of"


def test_unknown_quantities_are_still_readable():
    assert title("some_new_thing") == "Some new thing"
    assert title("supporting: honey jar") == "Honey jar"
    assert in_sentence("supporting: honey jar") == "the honey jar"
    assert in_sentence("camera_elevation") == "camera angle"


def test_an_undecided_item_says_why():
    reasons = {"subject": ReasonRecord(code="no_subject", message="Nothing stands out.")}
    size = item("subject_size", 0.2, None, None, 0.08, "fraction of frame", "undecided")
    assert why_not(size, reasons) == "Nothing stands out."
    assert why_not(size, {}) == "Nothing was found to measure it by."
