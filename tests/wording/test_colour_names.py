"""A colour has one plain name on the page: no name of a material, which nobody measured."""

import pytest

from auditor.vocabulary.colour_table import REGIONS
from auditor.wording.cells import colour_text
from auditor.wording.colour_names import colour_name, names_apart

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
