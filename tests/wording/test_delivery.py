"""Every rule has words for what it asks, for what breaks it and for what cannot be checked."""

import pytest

from auditor.delivery.judged import Why
from auditor.delivery.models import RULE_NAMES
from auditor.record.delivery_fields import delivery_fields
from auditor.record.delivery_record import DeliveryRecord
from auditor.wording.delivery import delivery_message, rule_title
from auditor.wording.delivery_reasons import NOT_CHECKABLE
from tests.delivery import test_picture_rules as single
from tests.delivery import test_set_rules as together
from tests.delivery.files import judged

SAID = {
    "border": "The picture has a border.",
    "keywords": "2 keywords, at least 3 asked.",
    "highlights": "Clipped highlights 1.2%, at most 1% asked.",
    "long_side": "Long side 149 px, at least 150 px asked.",
    "megapixels": "Size 0.01788 megapixels, at least 0.018 megapixels asked.",
    "ratio": "Ratio 3:4, 1:1 or 4:5 asked.",
    "type": "File type PNG, JPEG asked.",
    "sharpness": "Sharpness of the subject 0.20, at least 0.4 asked.",
    "profile stated": "The file states no colour profile; sRGB asked.",
    "creator by name": "The file names another creator.",
    "pictures": "1 picture, at least 4 asked.",
    "portrait": "1 picture in portrait format, at least 2 asked.",
    "landscape": "No picture in landscape format, 1 asked.",
    "number_gaps": "Missing between the first and the last number: 2, 4–6.",
    "number_doubles": "More than one picture has the number 1.",
    "first_number": "The first number is 2, 1 asked.",
}


def records(found):
    return [DeliveryRecord(**delivery_fields(one)) for one in found]


def broken(case, tmp_path):
    """Broken rules of a case of the tests of pictures, or of those of sets."""
    if case in single.CASES:
        line, _, bad = single.CASES[case]
        found = judged(tmp_path, single.rules_text(line), {"broken.jpg": bad})
    else:
        text, _, bad, _, series = together.CASES[case]
        found = judged(tmp_path, text, bad, series)
    return [one for one in records(found) if one.verdict == "missed"]


CASES = [*single.CASES, *(name for name, case in together.CASES.items() if case[2] is not None)]


@pytest.mark.parametrize("case", CASES)
def test_what_is_wrong_is_a_sentence(case, tmp_path):
    said = [delivery_message(one) for one in broken(case, tmp_path)]
    assert said
    for message in said:
        assert message[0].isupper() or message[0].isdigit()
        assert message.endswith(".")
        assert "  " not in message
        assert "None" not in message
    if case in SAID:
        assert SAID[case] in said


def test_every_rule_is_named(tmp_path):
    named = set()
    for case in CASES:
        for one in broken(case, tmp_path):
            assert rule_title(one.rule, one.asked, None)
            named.add(one.rule)
    by_name = {"names", "spaces_in_names", "safe_names", "lower_case_names", "name_length"}
    of_words = {"one_look", "overhead", "high", "low", "straight_on"}
    assert set(RULE_NAMES) - named == by_name | of_words
    for rule in by_name | of_words:
        assert rule_title(rule, "none" if rule == "spaces_in_names" else "yes", "web")


def test_every_reason_has_words():
    wrong = {"no_profile", "wrong_ending", "not_a_picture", "missing", "present", "other"}
    assert {str(why) for why in Why} - wrong == set(NOT_CHECKABLE)
    for why in NOT_CHECKABLE:
        one = DeliveryRecord(
            rule="halos", file="a.jpg", verdict="undecided", reason=why, asked="at most 9%"
        )
        assert delivery_message(one).startswith("Not checkable: ")


def test_a_value_beyond_a_limit_is_never_written_as_the_limit():
    one = DeliveryRecord(
        rule="bytes",
        file="a.jpg",
        verdict="missed",
        asked="at most 8 MB",
        found=8_000_001.0,
        unit="bytes",
    )
    assert delivery_message(one) == "Size of the file 8.000001 MB, at most 8 MB asked."


def test_names_from_outside_stay_on_one_line():
    title = rule_title("profile", "s\nRGB", "w\u202eeb\n")
    assert "\n" not in title
