from itertools import combinations

import pytest
from PIL import ImageFont

from auditor.geometry import Box, Point
from auditor.page.drawing.labels import LETTER_WIDTH, TEXT_SIZE, Named, labels_beside
from auditor.page.drawing.layers import Frame

FRAME = Frame(600, 400)
SIZE = TEXT_SIZE * 600


def boxes(labels):
    found = []
    for label in labels:
        width = len(label.text) * LETTER_WIDTH * SIZE
        left = float(label.x) - (width if label.anchor == "end" else 0)
        found.append((left, float(label.y) - SIZE, left + width, float(label.y) + SIZE / 4))
    return found


def at_points(*named):
    return [Named(Box(*at, *at), text, "planned") for at, text in named]


def overlap(a, b):
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@pytest.mark.parametrize(
    "named",
    [
        [(Point(100, 200), "guacamole"), (Point(160, 202), "coriander")],
        [(Point(590, 200), "spoon"), (Point(590, 204), "napkin"), (Point(588, 202), "lime")],
        [(Point(300, 395), "a long name of a thing"), (Point(302, 399), "another one")],
        [(Point(300, 200 + n), f"thing {n}") for n in range(8)],
    ],
)
def test_no_two_words_cover_each_other(named):
    for first, second in combinations(boxes(labels_beside(at_points(*named), FRAME)), 2):
        assert not overlap(first, second)


def test_a_word_alone_stands_beside_its_point():
    (left,) = labels_beside(at_points((Point(100, 200), "jar")), FRAME)
    assert float(left.x) > 100
    assert float(left.y) == pytest.approx(200, abs=SIZE / 2)
    (right,) = labels_beside(at_points((Point(500, 200), "jar")), FRAME)
    assert right.anchor == "end"
    assert float(right.x) < 500


def test_a_word_stands_over_its_box_and_outside_what_is_kept_free():
    box = Box(100, 100, 200, 160)
    (over,) = labels_beside([Named(box, "jar", "measured")], FRAME)
    assert (over.anchor, float(over.x), over.role) == ("start", 100, "measured")
    assert float(over.y) < 100
    (under,) = labels_beside([Named(box, "jar", "measured")], FRAME, [Box(0, 0, 600, 110)])
    assert float(under.y) - SIZE > 160 - SIZE / 2


def test_words_of_neighbouring_boxes_do_not_cover_each_other():
    named = [Named(Box(x, 100, x + 40, 150), "wooden spoon", "measured") for x in (200, 230, 260)]
    for first, second in combinations(boxes(labels_beside(named, FRAME)), 2):
        assert not overlap(first, second)


def test_a_crowd_of_words_is_still_written():
    named = [(Point(300, 200), "the same place")] * 60
    assert len(labels_beside(at_points(*named), FRAME)) == 60


def test_letters_are_no_wider_than_reckoned():
    # Pillow's own font is Aileron, of ordinary width; DejaVu Sans Bold is about a quarter wider.
    font = ImageFont.load_default(100)
    text = "clementines, honey jar, mint leaves, wooden spoon"
    assert font.getlength(text) / 100 / len(text) < LETTER_WIDTH
