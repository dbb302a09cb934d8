"""Rules of the plan for the set, over made-up pictures in their order."""

import dataclasses

import pytest

from auditor.comparison.item import Verdict
from auditor.comparison.set_rules import judge_rules
from auditor.measurements.camera_elevation import CameraElevation
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Intent, Plan, PlannedRule
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.runs.outcome import RefusedPicture
from auditor.vocabulary.how_many import how_many
from tests.factories import measured_photograph, region

MET, CLOSE, MISSED, UNDECIDED = Verdict
REFUSED = RefusedPicture("refused.jpg", "empty_file", "The file is empty.")
UNKNOWN = Quantity.undetermined(Reason.NO_ROUND_RIM)


def seen_from(deg, spread=2.0):
    return Quantity(CameraElevation(deg, ()), 0.9, 5.0, None, spread, 0.02)


def pictures(*elevations, **changes):
    """One picture an elevation (None: unknown), named a.jpg, b.jpg …"""
    return [
        measured_photograph(
            file=f"{letter}.jpg",
            camera_elevation=UNKNOWN if deg is None else seen_from(deg),
            **changes,
        )
        for letter, deg in zip("abcdefgh", elevations, strict=False)
    ]


def sized(*shares):
    return [
        measured_photograph(
            file=f"{letter}.jpg",
            subject=Quantity(region(0.5, 0.5, share), 0.9, 0.05, None, 0.002, 0.02)
            if share
            else Quantity.undetermined(Reason.NO_SUBJECT),
        )
        for letter, share in zip("abcdefgh", shares, strict=False)
    ]


def judged(name, asked, of):
    accepted = None if name == "neighbours" else how_many(asked)
    rule = PlannedRule(name, accepted, asked)
    plan = Plan(None, Intent(), (), DEFAULT_TOLERANCES, rules=(rule,))
    (found,) = judge_rules(plan, of)
    assert found.rule is rule
    return found


def letters(files):
    return "".join(file.removesuffix(".jpg") for file in files)


@pytest.mark.parametrize(
    ("asked", "verdict"),
    [("at least 2", MET), ("2", MET), ("3", MISSED), ("at most 1", MISSED), ("1 to 4", MET)],
)
def test_pictures_from_overhead_are_counted(asked, verdict):
    found = judged("overhead", asked, pictures(90, 45, 88, 20))
    assert (letters(found.files), found.open_files, found.verdict) == ("ac", (), verdict)


@pytest.mark.parametrize(
    ("asked", "verdict"),
    [("at least 1", MET), ("at least 2", UNDECIDED), ("1", UNDECIDED), ("at least 3", MISSED)],
)
def test_what_is_not_known_leaves_a_rule_open_where_it_matters(asked, verdict):
    found = judged("overhead", asked, pictures(90, None, 45))
    assert (letters(found.files), letters(found.open_files)) == ("a", "b")
    assert found.verdict is verdict


@pytest.mark.parametrize(
    ("key", "counted"),
    [("overhead", "a"), ("high", "b"), ("three_quarter", "c"), ("low", "d"), ("straight_on", "e")],
)
def test_each_picture_has_one_camera_angle(key, counted):
    assert letters(judged(key, "1", pictures(90, 70, 45, 22, 5)).files) == counted


def test_at_the_border_of_two_angles_it_is_open_which_it_is():
    # A third of a standard deviation above the border: 63 % above it, if it is one of the two.
    (picture,) = pictures(60)
    near = [dataclasses.replace(picture, camera_elevation=seen_from(59.6, spread=4.0))]
    assert judged("three_quarter", "1", near).verdict is MET
    assert judged("high", "1", near).verdict is UNDECIDED


@pytest.mark.parametrize(
    ("key", "counted"), [("portrait", "a"), ("landscape", "bc"), ("square", "d")]
)
def test_formats_are_exact(key, counted):
    sizes = [(1600, 2000), (2000, 1600), (1640, 1600), (1632, 1600)]
    of = [
        measured_photograph(file=f"{letter}.jpg", width=width, height=height)
        for letter, (width, height) in zip("abcd", sizes, strict=True)
    ]
    found = judged(key, "1", of)
    assert (letters(found.files), found.open_files) == (counted, ())


def test_a_picture_that_could_not_be_read_is_open_in_every_count():
    of = [*pictures(45, 45), REFUSED]
    assert judged("pictures", "2", of).verdict is UNDECIDED
    assert judged("pictures", "2 to 3", of).verdict is MET
    assert judged("pictures", "at least 4", of).verdict is MISSED
    assert judged("portrait", "at least 3", of).verdict is UNDECIDED


@pytest.mark.parametrize(
    ("shares", "counted", "verdict"),
    [
        ((0.1, 0.1, 0.1, 0.2), "d", MET),
        ((0.1, 0.1, 0.1, 0.13), "", MISSED),
        ((0.1, 0.2, 0.1, 0.1, 0.1, 0.2), "bf", MISSED),
        ((0.5, 0.5, 0.5), "", MISSED),
    ],
)
def test_a_hero_is_large_beside_the_others(shares, counted, verdict):
    found = judged("hero", "1", sized(*shares))
    assert (letters(found.files), found.verdict) == (counted, verdict)


def test_without_others_or_without_a_subject_nobody_knows_the_hero():
    assert judged("hero", "1", sized(0.1, 0.3)).verdict is UNDECIDED
    found = judged("hero", "1", sized(0.1, 0.1, 0.1, None))
    assert (letters(found.open_files), found.verdict) == ("d", UNDECIDED)


def test_neighbours_of_one_angle_are_named_in_pairs():
    found = judged("neighbours", "different angles", pictures(45, 48, 90, 20, 22, 24))
    assert found.verdict is MISSED
    assert [letters(pair) for pair in found.pairs] == ["ab", "de", "ef"]
    assert letters(found.files) == "abdef"


def test_neighbours_of_different_angles():
    found = judged("neighbours", "different angles", pictures(45, 90, 45, 20))
    assert (found.verdict, found.pairs, found.files) == (MET, (), ())


def test_neighbours_whose_angle_is_not_known_leave_it_open():
    found = judged("neighbours", "different angles", pictures(45, None, 90))
    assert (found.verdict, letters(found.open_files)) == (UNDECIDED, "abc")
    of = [*pictures(45), REFUSED]
    assert judged("neighbours", "different angles", of).verdict is UNDECIDED
    # A pair that breaks the rule breaks it whatever the others are.
    assert judged("neighbours", "different angles", pictures(45, 45, None)).verdict is MISSED


def test_the_order_of_the_set_decides_who_are_neighbours():
    one, other, third = pictures(45, 90, 46)
    assert judged("neighbours", "different angles", [one, other, third]).verdict is MET
    assert judged("neighbours", "different angles", [one, third, other]).verdict is MISSED
