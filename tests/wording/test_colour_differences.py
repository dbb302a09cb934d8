import pytest

from auditor.colorimetry import hex_from_lab
from auditor.wording.colour_differences import (
    colour_name,
    difference_words,
    exposure_explains,
    nearest,
)

# Named colours of CSS Color Module Level 4, section 6.1.
CSS = {
    "#000000": "black",
    "#ffffff": "white",
    "#808080": "grey",
    "#d3d3d3": "pale grey",
    "#ff0000": "red",
    "#8b0000": "red",
    "#ffa500": "orange",
    "#8b4513": "brown",
    "#a52a2a": "red",
    "#f5deb3": "beige",
    "#d2b48c": "beige",
    "#ffd700": "yellow",
    "#ffff00": "yellow",
    "#008000": "green",
    "#008080": "blue-green",
    "#0000ff": "blue",
    "#4682b4": "blue",
    "#87ceeb": "blue",
    "#800080": "purple",
    "#ffc0cb": "pink",
    "#ff69b4": "pink",
}


@pytest.mark.parametrize(("colour", "name"), CSS.items())
def test_colours_are_called_what_css_calls_them(colour, name):
    assert colour_name(colour) == name


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


def test_exposure_explains_only_what_it_would_undo():
    # A stop is a factor of two in linear light: sRGB 0xbc is twice 0x89 (IEC 61966-2-1).
    assert exposure_explains("#bcbcbc", "#898989", -1.0, 3.0)
    assert exposure_explains("#898989", "#bcbcbc", 1.0, 3.0)
    assert not exposure_explains("#bcbcbc", "#898989", 1.0, 3.0)
    assert not exposure_explains("#bcbcbc", "#303030", -1.0, 3.0)
    assert not exposure_explains("#808080", "#80a020", -1.0, 10.0)
