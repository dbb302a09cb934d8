"""Mixed light in words and drawn; maps of 4 by 4 cells are counted by hand."""

import pytest

from auditor.page.drawing.layers import Frame
from auditor.page.drawing.mixed_light import draw_mixed_light, named_lights
from auditor.wording.mixed_light import lit_places, mixed_light_words
from tests.records import measured
from tests.records import mixed_light as mixed


@pytest.mark.parametrize(
    ("rows", "first", "second"),
    [
        (["00.1", "000.", "000.", "00.1"], "mostly left", "right"),  # 8 of 10 cells lie left
        (["0000", "0000", "11..", "11.."], "upper", "lower left"),
        (["00..", "00..", "..11", "..11"], "upper left", "lower right"),
        (["0000", "0000", "0000", "0001"], "all over", "lower right"),
        (["01..", "10..", "..01", "..10"], "all over", "all over"),
    ],
)
def test_where_each_light_falls(rows, first, second):
    assert mixed_light_words(mixed(rows)) == (
        "mixed light (or warm-coloured objects), two colours: "
        f"5200 K on 70% of the free area, {first}; 3100 K on 30%, {second}"
    )


def test_one_light_is_no_mixed_light():
    alone = measured().colour_temperature
    assert mixed_light_words(alone) == ""
    assert lit_places(alone) == ()
    assert draw_mixed_light(measured(), Frame(600, 400)).marks == ()


def test_every_cell_is_drawn_once_where_it_lies():
    rows = ["00.1", "00.1", "0001", "...."]
    first, second = lit_places(mixed(rows))
    assert len(first.runs) == 3  # one a row
    assert [sum(run.area_fraction for run in light.runs) for light in (first, second)] == [
        pytest.approx(7 / 16),
        pytest.approx(3 / 16),
    ]
    assert tuple(second.runs[0]) == (0.75, 0.0, 1.0, 0.25)


def test_the_warmer_light_is_drawn_as_the_warmer_and_named():
    picture = measured(colour_temperature=mixed(["0011"] * 4))
    layer = draw_mixed_light(picture, Frame(600, 400))
    assert [(mark.role, mark.is_filled) for mark in layer.marks] == [("cool", True), ("warm", True)]
    assert layer.marks[1].path.startswith("M300 0H600V100")
    cool, warm = named_lights(picture, Frame(600, 400))
    assert (cool.text, warm.text) == ("5200 K", "3100 K")
    assert cool.box.centre.x < 300 < warm.box.centre.x
    three = mixed(["012."] * 4, (5200.0, 3100.0, 4000.0), (0.5, 0.3, 0.2))
    roles = [
        mark.role
        for mark in draw_mixed_light(measured(colour_temperature=three), Frame(600, 400)).marks
    ]
    assert roles == ["cool", "warm", "between"]
