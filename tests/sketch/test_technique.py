"""The lines of a technique, apart from the drawing."""

import numpy as np
import pytest

from auditor.sketch.interpret import interpret
from tests.sketch.hand import Hand

GOLDEN = 0.381966


def draw_technique(hand, name, **kw):
    if name == "rule of thirds":
        hand.thirds(**kw)
    elif name == "golden ratio":
        hand.thirds(GOLDEN, **kw)
    elif name == "centred":
        hand.line((0.5, 0), (0.5, 1), **kw)
        hand.line((0, 0.5), (1, 0.5), **kw)
    else:
        hand.line((0, 0), (1, 1), **kw)
        if name == "diagonals":
            hand.line((0, 1), (1, 0), **kw)
        else:
            near = hand.width**2 / (hand.width**2 + hand.height**2)
            hand.line((1, 0), (near, near), **kw)
            hand.line((0, 1), (1 - near, 1 - near), **kw)


@pytest.mark.parametrize("wobble", [0.002, 0.006])
@pytest.mark.parametrize("aspect_ratio", [0.75, 1.5])
@pytest.mark.parametrize(
    "name", ["rule of thirds", "golden ratio", "centred", "diagonals", "golden triangles"]
)
def test_technique_is_read_through_the_drawing(name, aspect_ratio, wobble):
    hand = Hand(seed=3, aspect_ratio=aspect_ratio, wobble=wobble)
    draw_technique(hand, name, darkness=0.6)
    hand.oval((0.6, 0.6), 0.2, 0.7)
    hand.mug((0.2, 0.25), 0.15)
    technique = interpret(hand.frame()).technique
    assert technique is not None
    assert technique.value == name
    assert technique.confidence > 0.8


@pytest.mark.parametrize("seed", range(4))
def test_light_pencil_lines_are_read_beside_a_dark_pen(seed):
    hand = Hand(seed=seed, wobble=0.004)
    draw_technique(hand, "rule of thirds", darkness=0.2, pen=0.004)
    hand.oval((0.4, 0.4), 0.22)
    assert interpret(hand.frame(noise=0.01)).technique.value == "rule of thirds"


@pytest.mark.parametrize("seed", range(4))
def test_no_technique_without_its_lines(seed):
    hand = Hand(seed=seed, aspect_ratio=1.25)
    hand.square((0.5, 0.55), 0.5, 8)
    hand.oval((0.5, 0.55), 0.2, 0.8)
    hand.bottle((0.15, 0.4), 0.3)
    hand.line((0, 0.31), (1, 0.31))  # the table's edge
    assert interpret(hand.frame()).technique is None


@pytest.mark.parametrize("name", ["rule of thirds", "centred", "diagonals"])
def test_outlines_that_lines_cross_stay_whole(name):
    hand = Hand(seed=5, aspect_ratio=1.2)
    draw_technique(hand, name)
    hand.oval((0.52, 0.5), 0.2, 0.7)
    drawn = interpret(hand.frame())
    assert len(drawn.supporting) == 0
    assert drawn.subject.axis_ratio == pytest.approx(0.7, abs=0.06)
    # Of an ellipse: pi a b, as a share of the frame.
    area = np.pi * 0.2**2 * 0.7 * hand.diagonal**2 / (hand.width * hand.height)
    assert drawn.subject.area_fraction == pytest.approx(area, rel=0.12)


def test_the_edge_of_the_table_is_no_thing():
    hand = Hand(seed=2, aspect_ratio=1.4)
    hand.line((0, 0.42), (0.36, 0.42))
    hand.line((0.62, 0.43), (1, 0.42))
    hand.mug((0.5, 0.5), 0.22)
    drawn = interpret(hand.frame())
    assert drawn.supporting == ()
    assert drawn.subject.box.left > 0.25
