import pytest

from auditor.record.plan_records import ZoneRecord
from auditor.wording.advice import advice_words
from auditor.wording.misses import miss_sentence
from auditor.wording.plan_items import difference_text, measured_cell, planned_cell, why_undecided
from tests.records import advice, item, items, measured

SENTENCES = {
    "subject": "The subject sits about two fifths of the frame’s width too far left (0.36 of "
    "the diagonal, 0.08 allowed).",
    "supporting": "The honey <jar>: about two fifths of the frame’s width too far right (0.39 "
    "of the diagonal, 0.12 allowed).",
    "technique": "The subject misses the rule of thirds: about a tenth of the frame’s width too "
    "far left and about a sixth of its height too low (0.10 of the diagonal, 0.05 allowed). It is "
    "near a point of the golden ratio.",
    "camera_elevation": "The camera looks from lower than planned: three-quarter (46°); high "
    "(70°) was planned.",
    "light": "The light is about four and a half hours of the clock dial too far round to the "
    "right: side light from the right (3:00); three-quarter back light from the left (10:30) was "
    "planned.",
    "diagonal": "The dominant diagonal is falling; rising was planned.",
    "negative_space_side": "The empty space lies on the right; left was planned.",
    "colour_temperature": (
        "The picture is warmer than planned: 4900 K; 6000 K was planned (38 mired)."
    ),
    "aspect_ratio": "The frame is 3:2; 4:5 was planned.",
}


@pytest.mark.parametrize("missed", [i for i in items() if i.verdict == "missed"], ids=str)
def test_what_is_said_of_a_miss(missed):
    assert miss_sentence(missed, measured()) == SENTENCES[missed.quantity]


def test_up_and_down_are_weighed_in_pixels():
    # 0.1 of a 600 px width is 60 px, 0.1 of a 400 px height is 40 px: both are seen.
    moved = item("subject", [0.5, 0.5], [0.6, 0.4], 0.1, 0.05, "fraction of diagonal", "missed")
    both = miss_sentence(moved, measured())
    assert "a tenth of the frame’s width too far right and about a tenth of its height" in both
    assert "too far right" in miss_sentence(moved, measured(width=2400))
    assert "too high" not in miss_sentence(moved, measured(width=2400))


def test_a_technique_is_named_as_what_the_subject_aims_at():
    centred = item("technique", "centred", "centred", 0.1, 0.05, "fraction of diagonal", "missed")
    assert miss_sentence(centred, measured()).startswith("The subject misses the centre: ")


def test_the_nearest_technique_is_named():
    other = item(
        "technique", "symmetry", "golden ratio", 0.1, 0.05, "fraction of diagonal", "missed"
    )
    assert miss_sentence(other, measured()) == (
        "The subject misses the axis of symmetry: about a tenth of the frame’s width too far left "
        "and about a sixth of its height too low (0.10 of the diagonal, 0.05 allowed). It is near "
        "a point of the golden ratio."
    )


def test_a_subject_near_nothing_only_misses():
    away = item("technique", "centred", None, 0.1, 0.05, "fraction of diagonal", "missed")
    unknown = measured(technique_fit={})
    assert miss_sentence(away, unknown) == (
        "The subject misses the centre: off by 0.10 of the diagonal, 0.05 allowed."
    )


def test_no_diagonal_and_a_missing_colour_read_well():
    none = item("diagonal", "rising", "none", None, None, "", "missed")
    assert miss_sentence(none, measured()) == "No diagonal leads the eye; rising was planned."
    colour = item("palette", ["#dd8333"], ["#9c6131"], 17.0, 12.0, "CIEDE2000", "missed")
    assert miss_sentence(colour, measured()) == (
        "The planned orange was not found; nearest is brown, darker (17 ΔE₀₀, 12 allowed)."
    )


def test_a_missing_element_is_said_to_be_missing():
    gone = item("supporting", [0.3, 0.7], None, None, 0.1, "fraction of diagonal", "missed", "jar")
    assert miss_sentence(gone, measured()) == (
        "Nothing that could be the jar was found at the planned place."
    )
    in_zone = gone.model_copy(update={"zone": ZoneRecord(words="behind", boxes=[(0, 0, 1, 0.3)])})
    assert miss_sentence(in_zone, measured()) == (
        "Nothing that could be the jar was found at the planned place (behind the subject)."
    )


def test_a_miss_of_a_zone_is_counted_from_its_border():
    away = item(
        "supporting", [1 / 3, 0.5], [0.6, 0.5], 0.2, 0.1, "fraction of diagonal", "missed", "jar"
    )
    away = away.model_copy(
        update={"zone": ZoneRecord(words="left", boxes=[(0, 1 / 3, 1 / 3, 2 / 3)])}
    )
    assert miss_sentence(away, measured()) == (
        "The jar: about a quarter of the frame’s width too far right (0.20 of the diagonal, 0.10 "
        "allowed; left was planned)."
    )


@pytest.mark.parametrize("known", items(), ids=lambda i: i.quantity)
def test_every_item_has_a_sentence_whatever_is_missing(known):
    for changes in ({"measured": None}, {"planned": None}, {"difference": None}):
        changed = known.model_copy(update=changes)
        assert miss_sentence(changed, measured()).endswith(".")
        assert planned_cell(changed).text or planned_cell(changed).colours
        assert measured_cell(changed).text or measured_cell(changed).colours


def test_an_element_without_a_planned_place_may_be_anywhere():
    jar = item("supporting", None, [0.3, 0.7], None, None, "", "met", "jar")
    assert planned_cell(jar).text == "anywhere"
    assert measured_cell(jar).text == "lower left: 30% across, 70% down"


def test_a_name_of_many_things_reads_as_well_as_of_one():
    leaves = item(
        *("supporting", [0.3, 0.7], [0.3, 0.3], 0.3, 0.1, "fraction of diagonal", "missed"),
        "mint leaves",
    )
    assert miss_sentence(leaves, measured()).startswith(
        "The mint leaves: about two fifths of the frame’s height too high ("
    )


def test_a_diagonal_that_was_looked_for_and_is_not_there():
    line = item("diagonal", 45.0, None, None, 10.0, "deg", "missed")
    assert (
        miss_sentence(line, measured()) == "No diagonal leads the eye; rising (+45°) was planned."
    )
    assert measured_cell(line).text == "none"


def test_advice_says_what_to_do_and_what_that_brings_back():
    assert [advice_words(one) for one in advice()] == [
        (
            "Cut 10% from the top and 20% from the right. Then it meets the plan in subject’s "
            "place and empty space."
        ),
        "Turn the picture 1.4° clockwise.",
        (
            "Cool the picture by 38 mired (in raw development from 5000 K to about 4200 K, or the "
            "same 38 mired from your setting). Then it meets the plan and no longer leaves the set "
            "in colour temperature."
        ),
        "Lighten the picture by 0.4 EV.",
    ]


def test_a_difference_just_over_its_tolerance_is_shown_to_be_over():
    hair = item("camera_elevation", 45.0, 55.04, 10.04, 10.0, "deg", "close")
    assert difference_text(hair) == "10.04°, 10.00° allowed"


def test_differences_of_light_are_degrees_round_the_table():
    # 12 hours of the dial are 360 degrees; as hours they would read as a time.
    light = item("light", 10.5, 10.3, -0.2, 1.25, "h", "met")
    assert difference_text(light) == "6°, 38° allowed"


def test_a_ground_is_described_before_its_number():
    dark = item("surface", ["#ffffff", "#b3aa9c"], ["#726b61"], 22.2, 10.0, "CIEDE2000", "missed")
    assert miss_sentence(dark, measured()) == (
        "The surface is darker than planned; both are warm grey (22 ΔE₀₀, 10 allowed)."
    )


def test_a_technique_that_the_picture_does_not_show():
    symmetry = item("technique", "symmetry", "centred", None, None, "", "missed")
    assert miss_sentence(symmetry, measured()) == (
        "The picture shows no symmetry, which was planned. The subject is near the centre."
    )
    nowhere = item("technique", "symmetry", None, None, None, "", "missed")
    assert miss_sentence(nowhere, measured()) == (
        "The picture shows no symmetry, which was planned."
    )


@pytest.mark.parametrize(
    ("measured_word", "difference", "verdict", "text"),
    [
        ("centred", 0.1, "missed", "centred"),
        (None, 0.1, "close", "near none"),
        ("centred", None, "missed", "no symmetry; near: centred"),
        (None, None, "missed", "no symmetry"),
        (None, None, "undecided", "–"),
    ],
)
def test_the_measured_technique_in_the_table(measured_word, difference, verdict, text):
    unit = "fraction of diagonal" if difference else ""
    shown = item("technique", "symmetry", measured_word, difference, 0.05, unit, verdict)
    assert measured_cell(shown).text == text


def test_an_undecided_technique_near_nothing_was_measured():
    away = item("technique", "centred", None, 0.06, 0.05, "fraction of diagonal", "undecided")
    assert why_undecided(away, measured(reasons={})) == (
        "The measurement is not sure enough to call it met or missed."
    )


def test_an_element_that_may_be_anywhere_and_is_nowhere():
    jar = item("supporting", None, None, None, None, "", "missed", "jar")
    assert miss_sentence(jar, measured()) == "No element was found that could be the jar."
