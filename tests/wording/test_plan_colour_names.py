"""The comments of a draft name colours by the words that a plan has."""

import pytest

from auditor.colorimetry import css_colours
from auditor.vocabulary.colour_table import REGIONS
from auditor.wording.plan_colour_names import in_words, plan_colour_name


@pytest.mark.parametrize(
    ("colour", "name"),
    [
        ("#b3aa9c", "stone"),
        ("#b8613f", "terracotta"),
        ("#746d64", "taupe"),
        ("#00ff00", "lime"),
        ("#b4dd60", "yellow green"),  # far from every name of a plan: the nearest of CSS
    ],
)
def test_a_colour_has_its_photographers_name(colour, name):
    assert plan_colour_name(colour) == name


def test_every_name_of_css_comes_apart_into_words():
    for name in css_colours()[0]:
        assert in_words(name).replace(" ", "") == name
    assert in_words("mediumvioletred") == "medium violet red"
    assert in_words("lightgoldenrodyellow") == "light goldenrod yellow"


def test_the_first_middle_of_each_region_has_its_name():
    singles = [one for one in REGIONS if len(one.middles.split()) <= 4]
    named = [plan_colour_name(one.middles.split()[0]) == one.words for one in singles]
    # Regions overlap: a middle may lie as near to a neighbour's.
    assert sum(named) / len(named) > 0.9
