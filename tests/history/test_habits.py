"""What repeats, and what is not said."""

import pytest

from auditor.history.habits import (
    LEAST_SHOOTS,
    MOST_SHOOTS,
    find_habits,
    kept_shares,
    latest,
    trends,
)
from auditor.history.shoot import AXES, Deviation, KeptIntent, Shoot, shoot_of
from auditor.quantities import QUANTITIES
from auditor.wording.habits import SIDES, UNITS
from tests.history.invented_shoots import invented_shoot, rng_of


def history(n_shoots, habits=(), rates=(), seed=0, **options):
    rng = rng_of(seed)
    records = [
        invented_shoot(rng, habits, rates, day=f"2026-01-{place + 1:02d}", **options)
        for place in range(n_shoots)
    ]
    return latest([shoot_of(record) for record in records])


def camera(means, n=10, spread=3.0, met=5):
    """Shoots of which only the camera angle was planned, off by these means."""
    return tuple(
        Shoot(
            "",
            f"2026-01-{place:02d}",
            is_day_taken=True,
            n_pictures=n,
            intents=(
                KeptIntent(
                    "camera_elevation", met, 0, n - met, 0, (Deviation("higher", n, mean, spread),)
                ),
            ),
        )
        for place, mean in enumerate(means, start=1)
    )


def said(habits):
    return {
        (habit.share.quantity, trend.axis, trend.mean > 0)
        for habit in habits
        for trend in habit.trends
    } | {(habit.share.quantity, "", False) for habit in habits if not habit.trends}


@pytest.mark.parametrize(
    ("key", "off", "expected"),
    [
        ("camera_elevation", 15.0, ("camera_elevation", "higher", True)),
        ("camera_elevation", -15.0, ("camera_elevation", "higher", False)),
        ("light", 2.0, ("light", "front", True)),
        ("light", -2.0, ("light", "front", False)),
        (("subject", "across"), -0.12, ("subject", "across", False)),
        (("subject", "down"), 0.12, ("subject", "down", True)),
        ("colour_temperature", 38.0, ("colour_temperature", "warmer", True)),
        ("negative_space", -0.15, ("negative_space", "emptier", False)),
        ("subject_size", 0.09, ("subject_size", "larger", True)),
    ],
)
def test_a_habit_of_five_shoots_is_said_with_its_side_and_nothing_else_is(key, off, expected):
    found = [said(find_habits(history(5, {key: off}, seed=seed))) for seed in range(4)]
    assert sum(one == {expected} for one in found) >= 3
    assert set().union(*found) <= {expected}


def test_a_quantity_that_is_hardly_ever_met_is_said_and_nothing_else_is():
    found = [said(find_habits(history(5, (), {"palette": 0.1}, seed=seed))) for seed in range(4)]
    assert sum(one == {("palette", "", False)} for one in found) >= 3
    assert set().union(*found) <= {("palette", "", False)}


def test_without_a_habit_hardly_anything_is_said():
    found = [find_habits(history(5, seed=seed, between=0.6)) for seed in range(60)]
    assert sum(map(bool, found)) <= 3  # 1 in 20


def test_nothing_is_said_from_fewer_than_three_shoots_however_clear_it_is():
    shoots = camera([20.0, 20.0, 20.0], spread=0.0, met=0)
    assert find_habits(shoots[:1]) == find_habits(shoots[:2]) == ()
    assert trends(shoots[:2]) == kept_shares(shoots[:2]) == ()
    assert LEAST_SHOOTS == 3
    assert said(find_habits(shoots)) == {("camera_elevation", "higher", True)}


def test_a_shoot_counts_once_however_many_pictures_it_has():
    # One shoot of 300 pictures that is far off, and two as planned.
    assert find_habits(camera([30.0, 0.0, 0.0], n=300)) == ()


def test_shoots_that_agree_by_chance_are_no_surer_than_their_pictures():
    assert said(find_habits(camera([12.0, 12.1, 11.9], spread=3.0)))
    assert not find_habits(camera([12.0, 12.1, 11.9], spread=60.0))


def test_less_than_half_of_the_tolerance_is_not_worth_a_sentence():
    assert find_habits(camera([4.9, 4.9, 4.8, 4.9], spread=0.1)) == ()
    assert find_habits(camera([5.1, 5.1, 5.2, 5.1], spread=0.1))


def test_items_that_are_all_missed_in_three_shoots_of_one_picture_may_be_chance():
    shoots = tuple(
        Shoot(
            "",
            f"2026-01-0{place}",
            is_day_taken=True,
            n_pictures=1,
            intents=(KeptIntent("technique", 1, 0, 0, 0), KeptIntent("palette", 0, 0, 1, 0)),
        )
        for place in (1, 2, 3)
    )
    assert find_habits(shoots) == ()


def test_of_a_quantity_that_is_off_to_one_side_only_that_is_said():
    shoots = history(8, {"camera_elevation": 20.0})
    (habit,) = find_habits(shoots)
    assert habit.share.quantity == "camera_elevation"
    assert habit.share.below_others < -0.2
    assert len(habit.trends) == 1


def test_only_the_latest_shoots_with_a_plan_count():
    shoots = camera([0.0] * 28)
    bare = Shoot("", "2026-12-31", is_day_taken=True, n_pictures=3, intents=())
    counted = latest([bare, *reversed(shoots)])
    assert counted == shoots[-MOST_SHOOTS:]


def test_what_no_item_decided_is_no_share():
    undecided = tuple(
        Shoot(
            "",
            f"2026-01-0{place}",
            is_day_taken=True,
            n_pictures=1,
            intents=(KeptIntent("palette", 0, 0, 0, 4),),
        )
        for place in (1, 2, 3)
    )
    assert kept_shares(undecided) == ()


def test_every_axis_has_its_words_and_the_unit_of_its_quantity():
    for quantity, axes in AXES.items():
        for axis in axes:
            assert UNITS[axis] == QUANTITIES[quantity].unit
            assert len(SIDES[axis]) == 2
