"""What a plan accepts, written with its words and its numbers."""

from __future__ import annotations

import pytest

from auditor.record.plan_records import AcceptedRecord, PlannedColourRecord
from auditor.values import ValueKind
from auditor.wording.accepted_texts import accepted_text, joined
from auditor.wording.misses import miss_sentence
from auditor.wording.plan_items import difference_text, measured_cell, planned_cell, why_undecided
from tests.records import item, measured


def accepts(*spans, words=""):
    return AcceptedRecord(words=words, spans=list(spans))


@pytest.mark.parametrize(
    ("kind", "accepted", "text"),
    [
        (ValueKind.ANGLE, accepts((30, 60), words="three-quarter"), "three-quarter (30 to 60°)"),
        (ValueKind.ANGLE, accepts((40, 50)), "40 to 50°"),
        (ValueKind.ANGLE, accepts((30, 30), (45, 45)), "30° or 45°"),
        (ValueKind.CLOCK, accepts((9.75, 11.25), words="back left"), "back left (9:45 to 11:15)"),
        (ValueKind.CLOCK, accepts((11, 13)), "11:00 to 1:00"),
        (
            ValueKind.CLOCK,
            accepts((8.25, 9.75), (2.25, 3.75), words="either side"),
            "either side (2:15 to 3:45 or 8:15 to 9:45)",
        ),
        (ValueKind.FRACTION, accepts((0.5, 1), words="lots"), "lots (at least 50%)"),
        (ValueKind.FRACTION, accepts((0, 0.25), words="little"), "little (at most 25%)"),
        (ValueKind.FRACTION, accepts((0.3, 0.4)), "30 to 40%"),
        (ValueKind.MIRED, accepts((1e6 / 6000, 1e6 / 5000)), "5000 to 6000 K"),
        (ValueKind.MIRED, accepts((165, 260), words="warm"), "warm (3850 to 6050 K)"),
        (ValueKind.RATIO, accepts((0.8, 0.8), (1, 1)), "4:5 or 1:1"),
        (ValueKind.RATIO, accepts((0.1, 0.95), words="portrait"), "portrait"),
        (ValueKind.RATIO, accepts((1, 1), words="square"), "square (1:1)"),
    ],
)
def test_what_is_accepted(kind, accepted, text):
    assert accepted_text(accepted, kind) == text


def test_ranges_that_touch_are_one():
    assert joined([(9.75, 11.25), (8.25, 9.75), (2, 3)]) == [(2, 3), (8.25, 11.25)]


def with_range(quantity, planned, found, off, allowed, unit, accepted):
    missed = item(quantity, planned, found, off, allowed, unit, "missed")
    return missed.model_copy(update={"accepts": accepted})


@pytest.mark.parametrize(
    ("missed", "sentence"),
    [
        (
            with_range(
                "camera_elevation",
                45.0,
                72.0,
                12.0,
                5.0,
                "deg",
                accepts((30, 60), words="three-quarter"),
            ),
            (
                "The camera looks from higher than planned: high (72°); three-quarter (30 to 60°) "
                "was planned."
            ),
        ),
        (
            with_range(
                "light", 10.5, 3.0, 3.75, 0.6, "h", accepts((9.75, 11.25), words="back left")
            ),
            (
                "The light is about four hours of the clock dial too far round to the right: side "
                "light from the right (3:00); back left (9:45 to 11:15) was planned."
            ),
        ),
        (
            with_range(
                "colour_temperature",
                153.8,
                204.7,
                34.7,
                12.5,
                "mired",
                accepts((138, 170), words="neutral"),
            ),
            (
                "The picture is warmer than planned: 4900 K; neutral (5900 to 7250 K) was planned "
                "(35 mired)."
            ),
        ),
        (
            with_range(
                "aspect_ratio",
                1.5,
                0.8,
                -0.25,
                0.01,
                "ratio",
                accepts((1.05, 10), words="landscape"),
            ),
            "The frame is 4:5; landscape was planned.",
        ),
        (
            with_range(
                "subject_size",
                0.7,
                0.1,
                -0.4,
                0.03,
                "fraction of frame",
                accepts((0.5, 1), words="filling the frame"),
            ),
            (
                "The subject is smaller than planned: 10% of the frame, filling the frame (at "
                "least 50%) planned."
            ),
        ),
    ],
)
def test_a_miss_of_a_range_names_it(missed, sentence):
    assert miss_sentence(missed, measured()) == sentence
    assert planned_cell(missed).text in sentence


def test_inside_a_range_nothing_is_off():
    inside = with_range("camera_elevation", 45.0, 40.0, 0.0, 5.0, "deg", accepts((30, 60)))
    assert difference_text(inside) == "inside"


def named(quantity, planned, words, found, off, allowed):
    missed = item(quantity, planned, found, off, allowed, "CIEDE2000", "missed")
    return missed.model_copy(update={"named": words})


def test_a_colour_is_called_as_the_plan_names_it():
    surface = named("surface", ["#4a4f54", "#6f6a63"], ["slate", ""], ["#ada598"], 19.0, 5.0)
    assert [patch.text for patch in planned_cell(surface).colours] == ["slate", "warm grey"]
    assert miss_sentence(surface, measured()) == (
        "The surface is warm grey; slate or warm grey was planned (19 ΔE₀₀, 5 allowed)."
    )


def test_of_a_palette_the_colour_that_is_off_is_named():
    palette = named(
        "palette", ["#b8613f", "#9caa8c"], ["terracotta", "sage"], ["#b86040"], 9.0, 6.0
    )
    rows = [
        PlannedColourRecord(
            planned=planned,
            found=off < 6,
            nearest="#b86040",
            name="sienna",
            difference=off,
            share=0.4,
        )
        for planned, off in (("#b8613f", 0.0), ("#9caa8c", 9.0))
    ]
    missed = palette.model_copy(update={"colours": rows})
    assert miss_sentence(missed, measured()).startswith("The planned sage was not found; ")


def technique(planned, found, verdict, off=None):
    return item("technique", planned, found, off, None if off is None else 0.05, "", verdict)


@pytest.mark.parametrize(
    ("missed", "sentence"),
    [
        (
            technique("odd number", None, "missed"),
            "The picture shows 2 things, the subject among them; an odd number was planned.",
        ),
        (
            technique("negative space", None, "missed"),
            "Only 50% of the frame is empty; negative space was planned.",
        ),
        (
            technique("diagonal row", None, "missed"),
            "The picture shows no diagonal row, which was planned.",
        ),
        (
            technique("S-curve", "leading lines", "missed"),
            "The picture shows no S-curve, which was planned.",
        ),
        (
            technique("centred or symmetry", "rule of thirds", "missed", off=0.1),
            (
                "The picture shows no centred or symmetry. The subject is near a point of the rule "
                "of thirds."
            ),
        ),
    ],
)
def test_a_technique_that_the_picture_lacks(missed, sentence):
    picture = measured()
    space = picture.negative_space.model_copy(update={"fraction": 0.5})
    elements = picture.elements[:1]
    picture = picture.model_copy(update={"negative_space": space, "elements": elements})
    assert miss_sentence(missed, picture) == sentence


def test_a_technique_that_nothing_measures_says_so():
    assert why_undecided(technique("layers", None, "undecided"), measured()) == (
        "No measurement shows this technique; judge it by eye."
    )


def test_the_measured_technique_of_several():
    assert measured_cell(technique("odd number", "odd number", "met")).text == "odd number"
    either = technique("centred or odd number", None, "missed")
    assert measured_cell(either).text == "no centred or odd number"
