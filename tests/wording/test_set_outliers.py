"""How a picture leaves the set, quantity by quantity and in both directions."""

import pytest

from auditor.quantities import FOLLOWED, set_rule
from auditor.record.colour_records import SwatchRecord
from auditor.record.series_records import (
    ForeignColoursRecord,
    OutlierRecord,
    SeriesQuantityRecord,
)
from auditor.wording.set_outliers import outlier_words

REST = "than the rest of the set"
WORDS = {
    "colour_temperature": (30.0, f"warmer {REST} (30 mired)", f"cooler {REST} (30 mired)"),
    "tint": (
        0.0123,
        f"greener {REST} (Duv 0.012 higher)",
        f"pinker {REST} (Duv 0.012 lower)",
    ),
    "exposure": (
        1.24,
        f"a stop and a third lighter {REST} (1.2 EV)",
        f"a stop and a third darker {REST} (1.2 EV)",
    ),
    "subject_size": (
        0.2,
        f"the subject fills more of the frame {REST} (by 20% of it)",
        f"the subject fills less of the frame {REST} (by 20% of it)",
    ),
    "negative_space": (
        0.3,
        f"emptier {REST} (by 30% of the frame)",
        f"fuller {REST} (by 30% of the frame)",
    ),
    "camera_elevation": (
        40.0,
        f"seen from higher {REST} (by 40°)",
        f"seen from lower {REST} (by 40°)",
    ),
    # A positive roll rises to the right, so the picture is turned anticlockwise.
    "roll": (
        2.0,
        "tilted anticlockwise against the rest of the set (by 2.0°)",
        "tilted clockwise against the rest of the set (by 2.0°)",
    ),
    "subject_sharpness": (
        0.52,
        "",
        f"the subject is softer {REST} (by 52% of the scale from soft to sharp)",
    ),
}


def said(quantity, unit="", **outlier):
    followed = SeriesQuantityRecord(
        quantity=quantity, unit=unit, centre=10.5, spread=1.0, values=[], outliers=[]
    )
    return outlier_words(OutlierRecord(file="a.jpg", **outlier), followed)


@pytest.mark.parametrize("quantity", WORDS)
def test_up_and_down_have_their_words(quantity):
    size, higher, lower = WORDS[quantity]
    assert said(quantity, value=1.0, deviation=-size) == lower
    if set_rule(quantity).higher_is_fault:
        assert said(quantity, value=1.0, deviation=size) == higher


@pytest.mark.parametrize(
    ("quantity", "ratio", "words"),
    [
        ("contrast", 1.3, f"more contrast {REST}, throughout (by 30%)"),
        ("contrast", 0.5, f"less contrast {REST}, throughout (by 50%)"),
        ("saturation", 0.53, f"less saturated {REST}, throughout (by 47%)"),
        ("saturation", 3.2, f"more saturated {REST}, throughout (about 3 times as much)"),
    ],
)
def test_a_factor_is_a_percentage_or_a_multiple(quantity, ratio, words):
    assert said(quantity, value=1.0, deviation=0.1, ratio=ratio) == words


@pytest.mark.parametrize(
    ("whole", "words"),
    [
        (False, "reddish brown (#b0521f) on 8% of the frame is foreign to the set"),
        (
            True,
            "most of its colours are not in the set, mainly reddish brown (#b0521f) on 8% of it",
        ),
    ],
)
def test_a_foreign_colour_is_named(whole, words):
    strongest = SwatchRecord(hex="#b0521f", lab=(46.0, 35.0, 46.0), share=0.08)
    foreign = ForeignColoursRecord(
        weight=2.0, share=0.08, strongest=strongest, is_whole_picture=whole
    )
    assert said("palette", value=20.0, deviation=9.0, foreign=foreign) == words


def test_a_light_is_named_beside_that_of_the_set():
    assert said("light", unit="h", value=3.0, deviation=4.5) == (
        "side light from the right, the rest of the set three-quarter back light from the left"
    )


def test_every_followed_quantity_is_covered_here():
    assert {*WORDS, "contrast", "saturation", "palette", "light"} == set(FOLLOWED)
