"""Which colours are stated, and what they are called."""

import pytest

from auditor.plan_draft.colours import main_colours
from auditor.vocabulary.colours import colour_of_words
from auditor.wording.plan_colour_names import plan_colour_name
from tests.factories import swatch


@pytest.mark.parametrize(
    ("colour", "name"),
    [
        ("#e07b1f", "orange"),
        ("#151515", "black"),
        ("#a39b8f", "stone"),
        ("#f3f1ee", "white"),
        ("#00ff00", "lime"),
    ],
)
def test_names_are_those_of_photographers_and_then_of_css(colour, name):
    assert plan_colour_name(colour) == name


def test_a_plan_understands_each_name():
    for red in range(0, 256, 51):
        for green in range(0, 256, 51):
            for blue in range(0, 256, 51):
                colour = f"#{red:02x}{green:02x}{blue:02x}"
                assert colour_of_words(plan_colour_name(colour)) is not None


def test_specks_and_repetitions_are_left_out():
    palette = [
        swatch("#8c8c8c", 0.5),
        swatch("#909090", 0.2),  # the same to a person who plans
        swatch("#222222", 0.05),  # a little shadow
        swatch("#e07b1f", 0.03),  # a little orange is what the picture is about
    ]
    assert [one.hex for one in main_colours(palette)] == ["#8c8c8c", "#e07b1f"]
