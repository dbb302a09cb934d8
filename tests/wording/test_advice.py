"""Advice in words: what to do, what it reaches, what remains and what it costs."""

import pytest

from auditor.record.advice_record import AdviceRecord, ChangeRecord, CostRecord
from auditor.wording.advice import advice_words


def said(kind="combined", reaches=("subject",), **fields):
    change = ChangeRecord(**fields.pop("change"))
    crop = None if change.crop == (0.0, 0.0, 1.0, 1.0) else change.crop
    usual = {"amount": 0.9, "unit": "fraction of frame", "crop": crop, "width": 900, "height": 600}
    return advice_words(
        AdviceRecord(kind=kind, reaches=list(reaches), change=change, **usual, **fields)
    )


def test_a_crop_says_each_side_and_what_remains():
    words = said("crop", change={"crop": (0.04, 0.02, 1.0, 0.8801)})
    assert words == (
        "Cut 4% from the left, 2% from the top and 12% from the bottom. Then it meets the plan in "
        "subject’s place. 900 × 600 pixels remain."
    )


def test_a_small_cut_has_a_decimal():
    assert "Cut 1.5% from the right." in said("crop", change={"crop": (0.0, 0.0, 0.985, 1.0)})


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"mired": 20.0}, "Warm the picture by 20 mired ("),
        ({"mired": -20.0}, "Cool the picture by 20 mired ("),
        ({"exposure_ev": -0.3}, "Darken the picture by 0.3 EV."),
        ({"saturation": 0.8}, "Weaken all its colours by 20%."),
        ({"saturation": 1.25}, "Strengthen all its colours by 25%."),
        (
            {"mired": -20.0, "exposure_ev": 0.5},
            (
                "Cool the picture by 20 mired (in raw development from 5000 K to about 4550 K, or "
                "the same 20 mired from your setting) and lighten the picture by 0.5 EV."
            ),
        ),
    ],
)
def test_colours_say_their_direction(change, words):
    assert said(change=change).startswith(words)


def test_a_turn_with_its_own_crop_says_the_turn_alone_and_the_corners_as_cost():
    change = {"turn_deg": -1.5, "crop": (0.02, 0.02, 0.98, 0.98)}
    costs = [CostRecord(kind="corners", amount=0.078)]
    words = said("rotate", (), change=change, levels=True, costs=costs)
    assert words == (
        "Turn the picture 1.5° anticlockwise. Then it is level. 900 × 600 pixels remain. It costs "
        "7.8% of the frame at its edges and corners."
    )


def test_a_temperature_says_what_the_neutrals_read_before_and_after():
    words = said("colour temperature", change={"mired": -33.0}, kelvin=(5014.0, 5934.0))
    assert words.startswith("Cool the picture by 33 mired (in raw development from 5000 K to ")
    assert "reads 5950 K in its greys and whites instead of 5000 K" in words


def test_costs_are_named():
    costs = [
        CostRecord(kind="element_cut", amount=0.3, element="honey jar"),
        CostRecord(kind="element_lost", amount=1.0),
        CostRecord(kind="highlights", amount=0.021),
        CostRecord(kind="too_small", amount=1500, limit=2000),
    ]
    words = said(change={"exposure_ev": 0.5}, costs=costs)
    assert words.endswith(
        "It costs 30% of the honey jar, a supporting element, highlights, clipped on 2.1% more of "
        "the frame and pixels: a side then has 1500, and the hand-over asks for 2000."
    )
