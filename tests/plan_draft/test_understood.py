"""The picture of what was understood: each frame with its things where they were drawn."""

import io

import numpy as np
import pytest
from PIL import Image

from auditor.geometry import Box
from auditor.plan_draft.understood import (
    EMPTY_COLOUR,
    FRAME_SIDE_PX,
    LIGHT_COLOUR,
    MARGIN_PX,
    NOTE_COLOUR,
    SUBJECT_COLOUR,
    THING_COLOUR,
    understood_picture,
)
from auditor.sketch.drawn import Guess
from tests.plan_draft.drawn_frames import drawn_frame, thing

WIDTH, HEIGHT = round(0.8 * FRAME_SIDE_PX), FRAME_SIDE_PX  # of a 4:5 frame


def drawn(*frames):
    png = understood_picture(frames, [f"frame {n}" for n in range(1, len(frames) + 1)])
    return np.asarray(Image.open(io.BytesIO(png)).convert("RGB"))


def middle_of(picture, colour):
    """Middle of what has a colour, as fractions of the first frame."""
    rows, columns = np.nonzero((picture == colour).all(axis=2))
    x = (columns.min() + columns.max()) / 2
    y = (rows.min() + rows.max()) / 2
    return (x - MARGIN_PX) / WIDTH, (y - MARGIN_PX) / HEIGHT


def test_the_subject_lies_where_it_was_drawn():
    picture = drawn(drawn_frame(subject=thing(0.66, 0.4, 0.16), supporting=()))
    # Its name stands above the outline.
    assert middle_of(picture, SUBJECT_COLOUR) == pytest.approx((0.66, 0.4), abs=0.03)


def test_an_oval_is_drawn_as_one():
    oval = thing(0.5, 0.5, 0.1)
    as_box = drawn(drawn_frame(subject=oval, supporting=()))
    turned = thing(0.5, 0.5, 0.1, axis_ratio=0.5, axis_angle_deg=0.0)
    as_oval = drawn(drawn_frame(subject=turned, supporting=()))
    for picture, corner_is_drawn in ((as_box, True), (as_oval, False)):
        x = round(MARGIN_PX + oval.box.right * WIDTH)
        y = round(MARGIN_PX + oval.box.bottom * HEIGHT)
        corner = picture[y - 4 : y + 5, x - 4 : x + 5]
        assert (corner == SUBJECT_COLOUR).all(axis=2).any() == corner_is_drawn


@pytest.mark.parametrize(
    ("clock", "side"), [(12.0, "top"), (3.0, "right"), (6.0, "bottom"), (9.0, "left")]
)
def test_the_light_comes_from_its_side(clock, side):
    picture = drawn(drawn_frame(light_clock=Guess(clock, 0.9)))
    x, y = middle_of(picture, LIGHT_COLOUR)
    assert {
        "top": y < 0.2, "bottom": y > 0.8, "left": x < 0.2, "right": x > 0.8,
    }[side]  # fmt: skip


def test_only_what_is_there_is_drawn():
    bare = drawn(drawn_frame(subject=None, supporting=(), light_clock=None, empty_side=None))
    for colour in (SUBJECT_COLOUR, THING_COLOUR, LIGHT_COLOUR, NOTE_COLOUR, EMPTY_COLOUR):
        assert not (bare == colour).all(axis=2).any()
    written = drawn(drawn_frame(subject=None, supporting=(), notes=(Box(0.1, 0.1, 0.4, 0.2),)))
    assert (written == NOTE_COLOUR).all(axis=2).any()


@pytest.mark.parametrize(("side", "x", "y"), [("left", 0, 0.5), ("bottom", 0.5, 1)])
def test_an_empty_side_is_named_there(side, x, y):
    picture = drawn(drawn_frame(subject=None, supporting=(), empty_side=Guess(side, 0.9)))
    assert middle_of(picture, EMPTY_COLOUR) == pytest.approx((x, y), abs=0.1)


def test_frames_stand_beside_each_other_and_then_below():
    one, three, four = (drawn(*([drawn_frame()] * n)).shape for n in (1, 3, 4))
    assert three[1] == 3 * one[1]
    assert three[0] == one[0]
    assert four[:2] == (2 * one[0], 3 * one[1])
