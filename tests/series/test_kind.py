"""Whether pictures are one set, a portfolio or single pictures."""

import dataclasses
import random

import pytest

from auditor.series.kind import SetKind, tell_kind
from tests.series.made_pictures import of_many_makers, of_one_table


@pytest.mark.parametrize("n", [3, 6, 12, 30])
def test_one_table_is_a_set(n):
    assert tell_kind(of_one_table(n), None).kind is SetKind.SET


@pytest.mark.parametrize("n", [6, 12, 30])
def test_many_makers_are_a_portfolio(n):
    told = tell_kind(of_many_makers(n), None)
    assert told.kind is SetKind.PORTFOLIO
    assert told.n_unlike > 0.8 * told.n_pairs
    assert told.n_formats == 2


def test_two_pictures_are_too_few_to_tell():
    assert tell_kind(of_many_makers(2), None).kind is SetKind.SET


def test_one_picture_is_single():
    assert tell_kind(of_many_makers(1), None).kind is SetKind.SINGLE


def test_a_plan_says_that_they_are_a_set():
    told = tell_kind(of_many_makers(12), None, has_plan=True)
    assert (told.kind, told.by_plan) == (SetKind.SET, True)


@pytest.mark.parametrize("given", list(SetKind))
@pytest.mark.parametrize("has_plan", [False, True])
def test_what_is_given_wins_over_plan_and_pictures(given, has_plan):
    for pictures in (of_one_table(6), of_many_makers(6), of_many_makers(1)):
        told = tell_kind(pictures, given, has_plan=has_plan)
        assert (told.kind, told.is_given) == (given, True)


@pytest.mark.parametrize("pictures", [of_one_table(30), of_many_makers(30)])
def test_the_order_of_files_changes_nothing(pictures):
    shuffled = random.Random(4).sample(pictures, len(pictures))
    assert tell_kind(shuffled, None) == tell_kind(pictures, None)


def _taken(pictures, days, **camera):
    return [
        dataclasses.replace(one, camera=dataclasses.replace(one.camera, taken=day, **camera))
        for one, day in zip(pictures, days, strict=True)
    ]


def test_other_days_speak_against_a_set_and_one_day_for_it():
    pictures = of_many_makers(6)
    one_day = _taken(pictures, ["2026-11-20T10:30:00"] * 6)
    other_days = _taken(pictures, [f"2026-{month:02d}-20T10:30:00" for month in range(1, 7)])
    alone, together, apart = (tell_kind(p, None).together for p in (pictures, one_day, other_days))
    assert apart < alone < together


def test_other_cameras_and_creators_speak_against_a_set():
    pictures = of_one_table(6)
    cameras = [
        dataclasses.replace(one, camera=dataclasses.replace(one.camera, model=f"Body {n}"))
        for n, one in enumerate(pictures)
    ]
    creators = [dataclasses.replace(one, creator=f"Maker {n}") for n, one in enumerate(cameras)]
    alone, by_camera, by_creator = (
        tell_kind(p, None).together for p in (pictures, cameras, creators)
    )
    assert by_creator < by_camera < alone


def test_a_strange_date_is_no_date():
    pictures = _taken(of_many_makers(6), ["yesterday"] * 6)
    assert tell_kind(pictures, None).together == tell_kind(of_many_makers(6), None).together
