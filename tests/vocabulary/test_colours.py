"""The regions of colour that names mean."""

from __future__ import annotations

import colorsys
import itertools

import pytest
from PIL import ImageColor

from auditor.colorimetry import colour_difference, css_colours, lab_from_hex
from auditor.vocabulary.colour_table import CSS_CODES, REGIONS
from auditor.vocabulary.colours import colour_of_words, colours_of_words

# Names of saturated colours, each with hues (degrees of CIELAB) that it must not contain.
HUES = ("red", "orange", "yellow", "green", "blue", "purple")


def distance(region, colour):
    """CIEDE2000 of a colour beyond a region; 0 inside."""
    lab = lab_from_hex(colour)
    middles = (region.hex, *region.more)
    return max(0, min(colour_difference(lab_from_hex(m), lab) for m in middles) - region.radius)


def test_each_name_contains_its_own_middles_and_no_other_pure_hue():
    for name, other in itertools.permutations(HUES, 2):
        region = colour_of_words(name)
        assert distance(region, region.hex) == 0
        # Half of a palette's tolerance of 12 is allowed beyond a region.
        assert distance(region, colour_of_words(other).hex) > 6, (name, other)


def test_no_region_of_a_hue_contains_grey():
    for region in map(colour_of_words, HUES):
        for grey in ("#222222", "#555555", "#888888", "#bbbbbb", "#eeeeee"):
            assert distance(region, grey) > 6, region.words


@pytest.mark.parametrize("name", ["neutral", "dark", "light"])
def test_regions_of_lightness_contain_no_strong_colour(name):
    region = colour_of_words(name)
    for hue in range(12):
        # The colours of a paint box: half and fully lit, fully saturated.
        for value in (0.5, 1.0):
            red, green, blue = (round(255 * c) for c in colorsys.hsv_to_rgb(hue / 12, 1, value))
            assert distance(region, f"#{red:02x}{green:02x}{blue:02x}") > 5, (name, hue, value)


def test_neutral_contains_all_greys_and_dark_and_light_those_at_their_end():
    for level in range(0x18, 0xF9, 8):
        grey = f"#{level:02x}{level:02x}{level:02x}"
        assert distance(colour_of_words("neutral"), grey) == 0, grey
    for name, inside, outside in (("dark", "#1c1c1c", "#909090"), ("light", "#f2f2f2", "#909090")):
        assert distance(colour_of_words(name), inside) == 0
        assert distance(colour_of_words(name), outside) > 10


def test_light_dark_and_middle_woods_are_in_that_order():
    lightness = [
        lab_from_hex(colour_of_words(w).hex)[0] for w in ("dark wood", "wood", "light wood")
    ]
    assert lightness == sorted(lightness)


def test_a_name_that_the_report_prints_means_that_colour():
    names, labs = css_colours()
    for name, lab in zip(names, labs, strict=True):
        region = colour_of_words(name)
        middles = [lab_from_hex(one) for one in (region.hex, *region.more)]
        if name != "chocolate":  # dark brown on a table, an orange in CSS
            assert min(colour_difference(one, tuple(lab)) for one in middles) < 1e-6, name


def test_the_codes_of_css_are_those_of_its_list():
    names, labs = css_colours()
    by_name = dict(zip(names, labs, strict=True))
    own = {form for region in REGIONS for form in (region.words, *region.also)}
    assert set(CSS_CODES) == (own & set(ImageColor.colormap)) - {"chocolate"}
    for name, code in CSS_CODES.items():
        if name in by_name:
            assert lab_from_hex(code) == pytest.approx(tuple(by_name[name]))


def test_no_two_regions_have_one_name():
    forms = [form.casefold() for region in REGIONS for form in (region.words, *region.also)]
    assert len(set(forms)) == len(forms)


@pytest.mark.parametrize("text", ["", "shiny", "#12345", "12345g", "terracota", "sage and shiny"])
def test_texts_that_name_no_colour(text):
    assert colours_of_words(text) == ()
