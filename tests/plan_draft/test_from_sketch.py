"""The shot of a drawn frame: numbers as drawn, guesses marked, nothing made up."""

import pytest

from auditor.geometry import Box
from auditor.plan_draft.draft import PlanDraft
from auditor.plan_draft.from_sketch import shot_of_frame
from auditor.plan_draft.toml_text import toml_text
from auditor.sketch.drawn import Guess, Shape
from tests.plan_draft.drawn_frames import drawn_frame, thing


def values(frame):
    return {entry.key: entry.plain for entry in shot_of_frame(frame, "frame 1").entries}


def text_of(frame):
    return toml_text(PlanDraft((), "", (), (shot_of_frame(frame, "frame 1"),)))


def test_a_frame_with_everything():
    assert values(drawn_frame()) == {
        "aspect_ratio": "4:5",
        "technique": "rule of thirds",
        "subject": {"at": [0.66, 0.34], "size": 0.2},
        "supporting": [
            {"name": "dish", "at": [0.21, 0.8], "size": 0.1},
            {"name": "cloth", "at": [0.8, 0.82], "size": 0.05},
        ],
        "camera_elevation": 45,
        "light": {"clock": 10.5},
        "negative_space": {"fraction": 0.45, "side": "left"},
    }


def test_words_and_guesses_stand_beside_the_numbers():
    text = text_of(drawn_frame())
    assert "# upper right\n" in text
    assert "camera_elevation = 45  " in text
    assert "# three-quarter; a guess: 70 % sure\n" in text
    assert "# back left\n" in text
    # Two values in one table: as sure as the less sure of them.
    assert "# a guess: 60 % sure\n" in text


def test_an_empty_frame_states_its_format_alone():
    empty = drawn_frame(
        technique=None,
        subject=None,
        supporting=(),
        camera_elevation_deg=None,
        light_clock=None,
        empty_fraction=None,
        empty_side=None,
    )
    assert values(empty) == {"aspect_ratio": "4:5"}


def test_a_thing_that_is_more_likely_a_stray_line_is_left_out():
    frame = drawn_frame(supporting=(thing(0.2, 0.8, confidence=0.3),))
    assert "supporting" not in values(frame)


@pytest.mark.parametrize(
    ("shape", "height", "name"),
    [
        (Shape.OVAL, None, "dish"),
        (Shape.CLOTH, None, "cloth"),
        (Shape.SIDE_VIEW, 0.6, "tall thing"),
        (Shape.SIDE_VIEW, 0.1, "thing"),
        (Shape.OTHER, None, "thing"),
    ],
)
def test_things_are_named_by_their_shape(shape, height, name):
    frame = drawn_frame(supporting=(thing(0.2, 0.8, shape=shape, height=height),))
    assert values(frame)["supporting"][0]["name"] == name


@pytest.mark.parametrize(
    ("ratio", "written", "comment"),
    [
        (0.81, '"4:5"', ""),
        (0.83, '"4:5"', "drawn as 0.83"),
        (1.0, '"1:1"', ""),
        (1.46, '"3:2"', "drawn as 1.46"),
        (2.4, "2.4", ""),
    ],
)
def test_a_frame_ruled_by_hand_means_the_usual_ratio(ratio, written, comment):
    line = next(one for one in text_of(drawn_frame(ratio)).splitlines() if one.startswith("aspect"))
    code, _, remark = line.partition("#")
    assert code.strip() == f"aspect_ratio = {written}"
    assert remark.strip() == comment


def test_handwriting_is_said_to_be_there():
    notes = (Box(0.05, 0.8, 0.3, 0.95), Box(0.1, 0.7, 0.3, 0.75), Box(0.7, 0.0, 0.9, 0.1))
    text = text_of(drawn_frame(notes=notes))
    assert "\n# handwriting at the lower left and the upper right, not read\n" in text


def test_one_side_without_a_fraction():
    assert values(drawn_frame(empty_fraction=None))["negative_space"] == {"side": "left"}
    assert values(drawn_frame(empty_side=None))["negative_space"] == {"fraction": 0.45}


def test_of_share_and_side_the_doubtful_one_is_left_out():
    frame = drawn_frame(empty_side=Guess("left", 0.3))
    assert values(frame)["negative_space"] == {"fraction": 0.45}
    both = drawn_frame(empty_side=Guess("left", 0.3), empty_fraction=Guess(0.4, 0.4))
    assert '\n# negative_space = { fraction = 0.4, side = "left" }' in text_of(both)


def test_a_doubtful_light_is_only_a_comment():
    text = text_of(drawn_frame(light_clock=Guess(8.9, 0.4)))
    assert "\n# light = { clock = 9 }" in text
