"""Words in drawings: none covers another or leaves the frame, however many and long they are."""

from itertools import combinations

import numpy as np
import pytest
from PIL import ImageFont

from auditor.geometry import Box, Point
from auditor.page.drawing.labels import (
    MOST_ACROSS,
    TEXT_SIZES,
    Named,
    labels_beside,
    text_width,
)
from auditor.page.drawing.layers import Frame

FRAME = Frame(600, 400)
SIZE = TEXT_SIZES["wide"] * 600
LONG = "wooden serving board with rosemary"


def boxes(labels, size=SIZE):
    found = []
    for label in labels:
        width = text_width(label.text, size)
        left = float(label.x) - (width if label.anchor == "end" else 0)
        found.append((left, float(label.y) - size * 0.9, left + width, float(label.y) + size / 5))
    return found


def at_points(*named):
    return [Named(Box(*at, *at), text, "planned") for at, text in named]


def overlap(a, b):
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


CROWDS = [
    [(Point(100, 200), "guacamole"), (Point(160, 202), "coriander")],
    [(Point(590, 200), "spoon"), (Point(590, 204), "napkin"), (Point(588, 202), "lime")],
    [(Point(300, 395), "a long name of a thing"), (Point(302, 399), "another one")],
    [(Point(300, 200 + n), f"thing {n}") for n in range(8)],
    [(Point(50 * n, 390), LONG) for n in range(12)],
    [(Point(1, 1), "MMMMMMMM"), (Point(599, 399), "茶碗と蜜柑"), (Point(300, 1), "WWWW")],
]


@pytest.mark.parametrize("width", TEXT_SIZES)
@pytest.mark.parametrize("named", CROWDS)
def test_no_two_words_cover_each_other_and_none_leaves_the_frame(named, width):
    size = TEXT_SIZES[width] * 600
    found = boxes(labels_beside(at_points(*named), FRAME, width=width).labels, size)
    for first, second in combinations(found, 2):
        assert not overlap(first, second)
    for left, top, right, bottom in found:
        assert left >= 0
        assert top >= 0
        assert right <= 600
        assert bottom <= 400


@pytest.mark.parametrize("seed", range(20))
def test_a_dozen_boxes_anywhere_have_their_words_or_their_numbers(seed):
    rng = np.random.default_rng(seed)
    corners = rng.uniform(0, 1, (12, 2)) * (560, 360)
    named = [
        Named(Box(x, y, x + 40, y + 30), rng.choice(["jar", "linen napkin", LONG]), "measured")
        for x, y in corners
    ]
    for width in TEXT_SIZES:
        found = labels_beside(named, FRAME, width=width)
        assert len(found.labels) == 12
        drawn = boxes(found.labels, TEXT_SIZES[width] * 600)
        assert not any(overlap(*pair) for pair in combinations(drawn, 2))
        in_key = {str(entry.number): entry.text for entry in found.key}
        said = sorted(in_key.get(label.text, label.text) for label in found.labels)
        assert said == sorted(one.text for one in named)


def test_a_word_alone_stands_beside_its_point():
    (left,) = labels_beside(at_points((Point(100, 200), "jar")), FRAME).labels
    assert float(left.x) > 100
    assert float(left.y) == pytest.approx(200, abs=SIZE / 2)
    (right,) = labels_beside(at_points((Point(500, 200), "jar")), FRAME).labels
    assert right.anchor == "end"
    assert float(right.x) < 500


def test_a_word_stands_over_its_box_and_outside_what_is_kept_free():
    box = Box(100, 100, 200, 160)
    named = [Named(box, "jar", "measured", layer="subject")]
    (over,) = labels_beside(named, FRAME).labels
    assert (over.anchor, float(over.x), over.role, over.layer) == (
        "start",
        100,
        "measured",
        "subject",
    )
    assert float(over.y) < 100
    (under,) = labels_beside(named, FRAME, keep_free=[Box(0, 0, 600, 110)]).labels
    assert float(under.y) - SIZE > 160 - SIZE / 2


def test_what_is_taken_is_never_covered():
    named = at_points((Point(300, 200), "jar"))
    dial = Box(250, 150, 600, 250)
    (found,) = boxes(labels_beside(named, FRAME, taken=[dial]).labels)
    assert not overlap(found, tuple(dial))


def test_a_long_name_stands_in_the_key_under_the_picture():
    name = "an old olive wood board with a crack"
    assert text_width(name, SIZE) > MOST_ACROSS * 600
    found = labels_beside(at_points((Point(300, 200), name)), FRAME)
    assert [label.text for label in found.labels] == ["1"]
    assert [(entry.number, entry.text) for entry in found.key] == [(1, name)]


def test_a_crowd_of_words_is_still_written():
    named = [(Point(300, 200), "the same place")] * 60
    found = labels_beside(at_points(*named), FRAME)
    assert len(found.labels) == 60
    assert len(found.labels) - len(found.key) >= 6  # words where there is room, then numbers


def test_letters_are_no_wider_than_reckoned():
    # Pillow's own font is Aileron, of ordinary width; DejaVu Sans Bold is about a quarter wider.
    font = ImageFont.load_default(100)
    for text in ("clementines, honey jar, mint leaves, wooden spoon", "WWW MMM mmm", "RED CLOTH"):
        assert font.getlength(text) < text_width(text, 100)
