from __future__ import annotations

import pytest

from auditor.comparison.matching import match
from auditor.plan.file_patterns import claims_file
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Intent, Plan, Shot


def shot(name, *patterns):
    return Shot(name, patterns, Intent())


def plan(*shots):
    return Plan(None, Intent(), shots, DEFAULT_TOLERANCES)


@pytest.mark.parametrize(
    ("pattern", "file", "fits"),
    [
        ("*kettle*", "day one/IMG_kettle_01.jpg", True),
        ("*kettle*", "kettles/IMG_01.jpg", False),  # the name alone
        ("*KETTLE*", "Kettle.JPG", True),
        ("kettle", "kettle.jpg", False),  # the whole name
        ("kettle.???", "kettle.jpg", True),
        ("kettle.???", "kettle.jpeg", False),
        ("kettle?jpg", "kettle/jpg", False),
        ("day one/*", "day one/a.jpg", True),
        ("day one/*", "day one/raw/a.jpg", True),
        ("day one/*", "shoot/day one/a.jpg", False),
        ("*/day one/*", "shoot/day one/a.jpg", True),
        ("*[1]*", "kettle[1].jpg", True),  # brackets and dots are themselves
        ("*[1]*", "kettle1.jpg", False),
        ("a.jpg", "abjpg", False),
        ("caf\u00e9*", "cafe\u0301.jpg", True),  # one letter, written in two ways
        ("*stra\u00dfe*", "STRASSE.jpg", True),
    ],
)
def test_patterns(pattern, file, fits):
    assert claims_file(shot("x", pattern), file) is fits


def test_the_files_of_a_shot_keep_their_order():
    kettle, tart, cake = shot("kettle", "*kettle*", "*pot*"), shot("tart", "*tart*"), shot("c", "c")
    files = ["b tart.jpg", "z/kettle 2.jpg", "kettle 1.jpg", "dog.jpg", "teapot.jpg"]
    matches = match(plan(kettle, tart, cake), files)
    assert matches.files_of == {
        "kettle": ("z/kettle 2.jpg", "kettle 1.jpg", "teapot.jpg"),
        "tart": ("b tart.jpg",),
        "c": (),
    }
    assert matches.shot_of == {
        "b tart.jpg": tart,
        "z/kettle 2.jpg": kettle,
        "kettle 1.jpg": kettle,
        "teapot.jpg": kettle,
    }
    assert matches.unplanned == ("dog.jpg",)
    assert matches.claimed_twice == {}
    assert matches.missing == ("c",)
    assert matches.claimed_by == {}


def test_the_first_shot_keeps_what_several_claim():
    first, second, third = shot("1", "*tea*"), shot("2", "*teapot*"), shot("3", "*pot*", "*cup*")
    matches = match(plan(first, second, third), ["teapot.jpg", "cup.jpg"])
    assert matches.shot_of == {"teapot.jpg": first, "cup.jpg": third}
    assert matches.claimed_twice == {"teapot.jpg": ("1", "2", "3")}
    assert matches.missing == ("2",)
    assert matches.claimed_by == {"2": "1"}


def test_a_missing_shot_names_the_first_shot_that_has_one_of_its_files():
    kettle, tart = shot("kettle", "*kettle*"), shot("tart", "*tart*")
    both, neither = shot("both", "*tart*", "*kettle*"), shot("neither", "*cake*")
    matches = match(plan(kettle, tart, both, neither), ["a kettle.jpg", "b tart.jpg"])
    assert matches.missing == ("both", "neither")
    assert matches.claimed_by == {"both": "kettle"}


def test_a_shot_that_keeps_a_file_of_its_own_is_not_missing():
    matches = match(plan(shot("1", "*tea*"), shot("2", "*cup*")), ["teacup.jpg", "cup.jpg"])
    assert (matches.missing, matches.claimed_by) == ((), {})


def test_no_files_at_all():
    matches = match(plan(shot("a", "*")), [])
    assert (matches.missing, matches.unplanned) == (("a",), ())


def test_a_pattern_of_many_stars_takes_no_time():
    assert not claims_file(shot("x", "*" * 40 + "b"), "a" * 200 + ".jpg")
