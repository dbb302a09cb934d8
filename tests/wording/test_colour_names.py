"""A colour has one plain name on the page: no name of a material, which nobody measured."""

from itertools import product

import pytest

from auditor.vocabulary.colour_table import REGIONS
from auditor.wording import colour_names
from auditor.wording.cells import colour_text
from auditor.wording.colour_names import colour_name, names_apart, remember_names

CHANNEL = range(0, 256, 28)
MATERIALS = (
    "stone slate concrete granite marble linen wood rattan copper terracotta rust charcoal iron"
)


@pytest.mark.parametrize(
    ("colour", "name"),
    [
        ("#b3aa9c", "warm grey"),
        ("#b8613f", "reddish brown"),
        ("#393d41", "dark grey"),
        ("#96663f", "brown"),
        ("#00ff00", "green"),
    ],
)
def test_a_colour_has_a_plain_name(colour, name):
    assert colour_name(colour) == name
    assert colour_text(colour) == f"{name} {colour}"


def test_no_name_says_of_what_a_thing_is_made():
    codes = [code for region in REGIONS for code in region.middles.split()]
    words = {word for code in codes for word in colour_name(code).split()}
    assert words.isdisjoint(MATERIALS.split())


def test_two_colours_of_one_name_are_told_apart_by_their_codes():
    assert names_apart("#b3aa9c", "#b4dd60") == ("warm grey", colour_name("#b4dd60"))
    assert names_apart("#b3aa9c", "#b8b0a4") == ("warm grey (#b3aa9c)", "warm grey (#b8b0a4)")


def test_colours_that_are_named_together_have_the_names_that_each_has_alone(monkeypatch):
    monkeypatch.setattr(colour_names, "_remembered", {})
    codes = [f"#{red:02x}{green:02x}{blue:02x}" for red, green, blue in product(CHANNEL, repeat=3)]
    remember_names(codes)
    together = [colour_name(code) for code in codes]
    assert len(set(together)) > 30
    for code, name in list(zip(codes, together, strict=True))[::7]:
        monkeypatch.setattr(colour_names, "_remembered", {})
        assert colour_name(code) == name


def test_colours_are_named_in_one_computation_and_then_remembered(monkeypatch):
    monkeypatch.setattr(colour_names, "_remembered", {})
    remember_names(["#b3aa9c", "#96663f"])
    monkeypatch.setattr(colour_names, "ciede2000", None)
    assert (colour_name("#96663f"), colour_name("#b3aa9c")) == ("brown", "warm grey")


def test_a_bounded_number_of_names_is_remembered(monkeypatch):
    remembered: dict[str, str] = {}
    monkeypatch.setattr(colour_names, "_remembered", remembered)
    monkeypatch.setattr(colour_names, "MOST_REMEMBERED", 8)
    for code in ("#b3aa9c", "#96663f", "#00ff00", *(f"#0000{blue:02x}" for blue in range(20))):
        colour_name(code)
    assert "#000013" in remembered
    assert len(remembered) <= 8
