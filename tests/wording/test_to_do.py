"""What to do, in words: short, and no advice for what cannot be mended."""

import pytest

from auditor.findings.codes import FindingCode
from auditor.findings.gravity import OF_CODE, Gravity
from auditor.wording.attention import HEADINGS, attention_lines
from auditor.wording.to_do import MOST_TO_DO, to_do
from tests.records import NAMES, advice, audit, finding

CROP, _, WARMTH, _ = advice()


def found(code, gravity, *files, **fields):
    return finding(code, *(files or ("0.jpg",)), gravity=gravity, **fields)


def missed(quantity, gravity="reshoot", value=1.0, **fields):
    return found("missed", gravity, quantity=quantity, value=value, **fields)


def test_what_no_edit_mends_is_said_plainly_and_alone():
    light, angle = missed("light"), missed("camera_elevation")
    warm = missed("colour_temperature", "develop")
    assert to_do([light, angle, warm], [WARMTH]) == [
        "Shoot it again: no edit mends the light and the camera angle."
    ]


def test_a_planned_thing_that_is_not_there_belongs_in_the_next_picture():
    jar = missed("supporting", value=None, element="honey jar")
    assert to_do([jar], []) == ["Shoot it again with the honey jar."]
    assert to_do([jar, missed("light")], []) == [
        "Shoot it again with the honey jar: no edit mends the light."
    ]


def test_advice_is_what_to_do_in_its_short_words_once():
    place, space = missed("subject", "crop"), missed("negative_space", "crop")
    (sentence,) = to_do([place, space], [CROP])
    assert sentence == "Cut 10% from the top and 20% from the right."
    assert "would then" not in sentence
    warm = missed("colour_temperature", "develop")
    (sentence,) = to_do([warm], [WARMTH])
    assert sentence.startswith("Cool the picture by 38 mired (in raw development from 5000 K to ")


def test_without_advice_it_is_said_what_is_off():
    outlier = found("set_outlier", "develop", quantity="saturation", difference=3.0)
    assert to_do([outlier], []) == ["Bring its saturation back to the rest of the set."]
    warm = missed("colour_temperature", "develop")
    assert to_do([warm], []) == [
        "Correct its colour temperature by eye: no single correction was found that meets the plan."
    ]
    assert to_do([missed("surface", "look"), missed("palette", "look")], []) == [
        "Look at the surface and the palette."
    ]
    assert to_do([missed("aspect_ratio", "crop")], []) == [
        "Crop to the aspect ratio of the plan, and look at what is lost."
    ]


def test_a_group_is_brought_back_together():
    files = ("0.jpg", "1.jpg")
    group = found("temperature_group", "develop", *files, difference=38.0)
    (sentence,) = to_do([group], [])
    assert sentence.startswith("Cool them by 38 mired (in raw development from 5000 K to ")


def test_missing_shots_are_named_where_there_are_several():
    tea, cake = (found("missing_shot", "reshoot", shot=shot) for shot in ("tea", "cake"))
    assert to_do([tea], []) == ["Shoot it."]
    assert to_do([tea, cake], []) == ["Shoot “tea” and “cake”."]


def test_never_more_than_two_things():
    codes = ("location", "same_file", "nearly_the_same", "cropped")
    findings = [
        found(code, "hand_over" if code == "location" else "look", "0.jpg", *extra)
        for code, extra in zip(codes, ([], ["1.jpg"], ["2.jpg"], ["3.jpg"]), strict=True)
    ]
    assert len(to_do(findings, [])) == MOST_TO_DO


@pytest.mark.parametrize("code", list(FindingCode))
def test_every_code_says_what_to_do(code):
    for gravity in [OF_CODE[code]] if code in OF_CODE else list(Gravity):
        own = finding(
            code, "0.jpg", quantity="light", value=1.0, difference=1.0, gravity=gravity, shot="tea"
        )
        several = own.model_copy(update={"files": ["0.jpg", "1.jpg", "2.jpg"]})
        for one in (own, several):
            sentences = to_do([one], [])
            assert sentences or code not in OF_CODE
            for sentence in sentences:
                assert sentence[0].isupper()
                assert sentence.endswith(".")


def test_the_terminal_has_the_headings_and_a_line_an_entry():
    record = audit()
    lines = attention_lines(record, 20)
    headings = [line.removesuffix(":") for line in lines if not line.startswith("- ")]
    assert headings == list(dict.fromkeys(HEADINGS[one.gravity] for one in record.attention))
    assert sum(line.startswith("- ") for line in lines) == len(record.attention)
    (location,) = (line for line in lines if line.startswith(f"- {NAMES[3]}: "))
    assert "Remove the location" in location
    assert (
        attention_lines(record, 2)[-1] == f"- and {len(record.attention) - 2} more, in the report"
    )


def test_many_names_are_cut_on_the_terminal():
    files = [f"{n}.jpg" for n in range(25)]
    often = finding("often_missed", *files, quantity="light")
    line = attention_lines(audit(findings=[often]), 20)[-1]
    assert line.startswith("- 25 pictures (0.jpg, ")
    assert "19.jpg and 5 more): " in line
    assert line.endswith("Light in 25 pictures, worst first.")
