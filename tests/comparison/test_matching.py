from __future__ import annotations

import pytest

from auditor.comparison.matching import claims_file, match
from auditor.plan.shot_plan import Intent, Plan, Shot
from auditor.plan.tolerances import DEFAULT_TOLERANCES


def shot(name, *patterns):
    return Shot(name, patterns, Intent())


def plan(*shots):
    return Plan(None, Intent(), shots, DEFAULT_TOLERANCES)


@pytest.mark.parametrize(
    ("pattern", "file", "is_named"),
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
def test_patterns(pattern, file, is_named):
    assert claims_file(shot("x", pattern), file) is is_named


def test_files_go_to_shots_in_the_order_given():
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


def test_the_first_shot_keeps_what_several_claim():
    first, second, third = shot("1", "*tea*"), shot("2", "*teapot*"), shot("3", "*pot*", "*cup*")
    matches = match(plan(first, second, third), ["teapot.jpg", "cup.jpg"])
    assert matches.shot_of == {"teapot.jpg": first, "cup.jpg": third}
    assert matches.claimed_twice == {"teapot.jpg": ("1", "2", "3")}
    assert matches.missing == ("2",)


def test_no_files_at_all():
    matches = match(plan(shot("a", "*")), [])
    assert (matches.missing, matches.unplanned) == (("a",), ())


def test_a_pattern_of_many_stars_takes_no_time():
    assert not claims_file(shot("x", "*" * 40 + "b"), "a" * 200 + ".jpg")
