"""Findings gathered by picture: gravity, grouping, order."""

import pytest

from auditor.findings.by_picture import gather_by_picture, is_of_one_picture
from auditor.findings.codes import FindingCode
from auditor.findings.gravity import OF_CODE, Gravity, gravity_of
from auditor.quantities import QUANTITIES
from tests.records import advice, audit, finding, item, items


def missed(quantity, difference, tolerance=1.0, value=1.0, file="0.jpg", **fields):
    return finding(
        "missed",
        file,
        quantity=quantity,
        value=value,
        difference=difference,
        tolerance=tolerance,
        **fields,
    )


def gravity(found, *given, own=()):
    advised = dict.fromkeys(found.files, given)
    return gravity_of(found, advised, dict.fromkeys(found.files, own)).value


def grouped(*findings):
    return [
        (entry.file, entry.gravity.value, list(entry.findings))
        for entry in gather_by_picture(findings, {}, {}).entries
    ]


CROP, ROTATE, WARMTH, _ = advice()
LIGHTEN = advice()[3].model_copy(update={"rejoins": ["exposure"]})


def test_every_code_has_a_gravity_or_depends_on_what_is_found():
    depending = {"set_rule", "often_missed", "missed", "set_outlier"}
    assert set(FindingCode) - set(OF_CODE) == depending


@pytest.mark.parametrize("quantity", list(QUANTITIES))
def test_every_quantity_may_be_missed_and_may_leave_the_set(quantity):
    assert gravity(missed(quantity, 9.0)) in set(Gravity)
    assert gravity(finding("set_outlier", "0.jpg", quantity=quantity)) in {"develop", "look"}


@pytest.mark.parametrize(
    ("found", "expected"),
    [
        (missed("light", 4.0), "reshoot"),
        (missed("camera_elevation", -3.0), "reshoot"),
        (missed("camera_elevation", -2.0), "look"),  # slight: up to twice what is allowed
        (missed("supporting", None, value=None, element="honey jar"), "reshoot"),
        (missed("negative_space_side", None, None, "left"), "look"),
        (missed("subject", 0.3, 0.1), "reshoot"),
        (missed("aspect_ratio", 0.4, 0.01), "crop"),
        (missed("colour_temperature", 50.0, 20.0), "develop"),
        (missed("surface", 30.0, 10.0), "look"),
        (missed("surface", 30.0, 10.0, explained_by_exposure_ev=-1.2), "develop"),
        (finding("set_outlier", "0.jpg", quantity="saturation"), "develop"),
        (finding("set_outlier", "0.jpg", quantity="camera_elevation"), "look"),
        (finding("set_rule", rule="pictures", difference=-1.0), "reshoot"),
        (finding("set_rule", rule="pictures", difference=1.0), "look"),
        (finding("set_rule", "0.jpg", "1.jpg", rule="neighbours"), "look"),
    ],
)
def test_without_advice_what_no_edit_mends_is_shot_again(found, expected):
    assert gravity(found) == expected


@pytest.mark.parametrize(
    ("found", "given", "expected"),
    [
        (missed("subject", 0.3, 0.1), CROP, "crop"),
        (missed("light", 4.0), CROP, "reshoot"),  # the crop does not reach the light
        (missed("colour_temperature", 50.0, 20.0), WARMTH, "develop"),
        (missed("surface", 30.0, 10.0, explained_by_exposure_ev=-1.2), LIGHTEN, "develop"),
        (finding("set_outlier", "0.jpg", quantity="exposure"), LIGHTEN, "develop"),
        # The advice leads to the plan and away from the set.
        (
            finding("set_outlier", "0.jpg", quantity="colour_temperature"),
            WARMTH.model_copy(update={"rejoins": []}),
            "look",
        ),
    ],
)
def test_advice_that_reaches_it_makes_it_lighter(found, given, expected):
    assert gravity(found, given) == expected


def test_what_many_miss_is_as_grave_as_in_most_of_them():
    often = finding("often_missed", "0.jpg", "1.jpg", "2.jpg", quantity="camera_elevation")
    far = item("camera_elevation", 70.0, 46.0, -24.0, 10.0, "deg", "missed")
    slight = item("camera_elevation", 70.0, 54.0, -16.0, 10.0, "deg", "missed")
    one_far = {"0.jpg": [far], "1.jpg": [slight], "2.jpg": [slight]}
    assert gravity_of(often, {}, one_far) == "look"
    two_far = {"0.jpg": [far], "1.jpg": [far], "2.jpg": [slight]}
    assert gravity_of(often, {}, two_far) == "reshoot"
    even = {"0.jpg": [far], "1.jpg": [slight]}
    assert gravity_of(often, {}, even) == "reshoot"
    assert gravity_of(often, {}, {"0.jpg": items()[6:7]}) == "look"  # it misses another quantity


def test_a_picture_stands_once_with_its_gravest_finding_first():
    assert grouped(
        missed("colour_temperature", 50.0, 20.0),
        missed("light", 4.0),
        finding("nearly_the_same", "0.jpg", "1.jpg"),
        missed("aspect_ratio", 0.4, file="2.jpg"),
    ) == [("0.jpg", "reshoot", [1, 0, 2]), ("2.jpg", "crop", [3])]


def test_classes_come_in_the_order_of_their_gravity():
    found = [
        finding("nearly_the_same", "5.jpg", "6.jpg"),
        missed("aspect_ratio", 0.4, file="4.jpg"),
        missed("colour_temperature", 50.0, 20.0, file="3.jpg"),
        missed("light", 4.0, file="2.jpg"),
        finding("missing_shot", shot="tea"),
        finding("location", "1.jpg"),
    ]
    assert [(file, one) for file, one, _ in grouped(*found)] == [
        ("1.jpg", "hand_over"),
        ("2.jpg", "reshoot"),
        (None, "reshoot"),
        ("3.jpg", "develop"),
        ("4.jpg", "crop"),
        ("5.jpg", "look"),
    ]


def test_missing_shots_are_one_entry_and_so_are_several_locations():
    tea, cake = (finding("missing_shot", shot=shot) for shot in ("tea", "cake"))
    assert grouped(tea, cake) == [(None, "reshoot", [0, 1])]
    first, second = (finding("location", file) for file in ("0.jpg", "1.jpg"))
    assert grouped(first) == [("0.jpg", "hand_over", [0])]
    assert grouped(first, second, missed("light", 4.0)) == [
        (None, "hand_over", [0, 1]),
        ("0.jpg", "reshoot", [2]),
    ]


def test_what_many_pictures_share_stands_beside_none_of_them():
    often = finding("often_missed", "0.jpg", "1.jpg", "2.jpg", "3.jpg", quantity="light")
    border = finding("border", "0.jpg", "1.jpg")
    alike = finding("nearly_the_same", "0.jpg", "1.jpg", "2.jpg")
    folder = finding("unreadable_folder", "closed")
    assert [file for file, _, _ in grouped(often, border, alike, folder)] == [None] * 4
    assert is_of_one_picture(finding("cropped", "0.jpg", "1.jpg"))
    assert not is_of_one_picture(finding("set_rule", "0.jpg", rule="overhead"))


def test_of_a_record_each_finding_is_in_one_entry_and_each_picture_has_one():
    record = audit()
    ranks = [rank for entry in record.attention for rank in entry.findings]
    assert sorted(ranks) == [found.rank for found in record.findings]
    files = [entry.file for entry in record.attention if entry.file is not None]
    assert len(files) == len(set(files))
    gravity_of_rank = {found.rank: found.gravity for found in record.findings}
    for entry in record.attention:
        assert entry.gravity == gravity_of_rank[entry.findings[0]]
        own = [list(Gravity).index(gravity_of_rank[rank]) for rank in entry.findings]
        assert own == sorted(own)
    order = [list(Gravity).index(entry.gravity) for entry in record.attention]
    assert order == sorted(order)
