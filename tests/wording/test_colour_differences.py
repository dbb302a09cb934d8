import pytest

from auditor.colorimetry import hex_from_lab
from auditor.wording.colour_differences import (
    difference_words,
    nearest,
)

GREY, TERRACOTTA = (60.0, 0.0, 0.0), (50.0, 30.0, 30.0)


@pytest.mark.parametrize(
    ("planned", "measured", "words"),
    [
        (GREY, (75.0, 0.0, 0.0), ["lighter"]),
        (GREY, (45.0, 0.0, 0.0), ["darker"]),
        (GREY, (60.0, 0.0, 15.0), ["warmer"]),
        (GREY, (60.0, 0.0, -15.0), ["cooler"]),
        (GREY, (60.0, 15.0, 0.0), ["redder"]),
        (GREY, (60.0, -15.0, 0.0), ["greener"]),
        (GREY, (40.0, 0.0, 15.0), ["darker", "warmer"]),
        (GREY, (40.0, 0.0, 8.0), ["darker"]),
        (TERRACOTTA, (50.0, 45.0, 45.0), ["more colourful"]),
        (TERRACOTTA, (50.0, 10.0, 10.0), ["less colourful"]),
    ],
)
def test_the_larger_components_are_said(planned, measured, words):
    assert difference_words(hex_from_lab(planned), hex_from_lab(measured)) == words


def test_a_colour_does_not_differ_from_itself():
    assert difference_words("#8f8f8f", "#8f8f8f") == []


def test_each_planned_colour_finds_its_nearest():
    found = nearest(["#dd8333", "#ffffff"], ["#9c6131", "#f0f0f0"])
    assert [pair.measured for pair in found] == ["#9c6131", "#f0f0f0"]
    assert found[0].difference > found[1].difference > 0
