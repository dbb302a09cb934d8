"""The page over all shoots."""

import re

import pytest

from auditor.history.habits import MOST_SHOOTS
from auditor.history.shoot import KeptIntent, Shoot, shoot_of
from auditor.page.shoots_page import MARK, render_shoots
from auditor.page.shoots_view import shoots_view
from tests.history.invented_shoots import invented_shoot, rng_of

NASTY = '<script>alert("1")</script> & a\nb'


def history(n_shoots, habits=(), title="Citrus", seed=1):
    rng = rng_of(seed)
    return [
        shoot_of(
            invented_shoot(
                rng,
                habits,
                n_pictures=6,
                day=f"2026-{1 + n // 28:02d}-{1 + n % 28:02d}",
                title=title,
            )
        )
        for n in range(n_shoots)
    ]


def test_a_habit_is_said_at_the_top_and_drawn():
    view = shoots_view(history(5, {"camera_elevation": 15.0}))
    assert len(view.habits) == 1
    assert re.match(r"The camera looks on average from 1\d° higher than planned \(", view.habits[0])
    assert view.note == ""
    camera = next(one for one in view.intents if one.title == "Camera angle")
    share, sides = camera.charts
    assert share.description.startswith("Camera angle, share met by shoot. Shoot 1: ")
    assert sides.summary.startswith("Mean: 1")
    assert sides.chart.mean
    assert sides.chart.band
    assert len(sides.chart.dots) == 5


@pytest.mark.parametrize("n", [0, 1, 2])
def test_nothing_is_said_or_drawn_of_fewer_than_three_shoots(n):
    view = shoots_view(history(n, {"camera_elevation": 30.0}))
    assert (view.habits, view.intents, view.remarks) == ((), (), ())
    assert "From three on" in view.note
    assert len(view.rows) == n
    assert "<svg" not in render_shoots(history(n), "Made.")


def test_without_a_habit_the_page_says_so():
    view = shoots_view(history(4))
    assert view.habits == ()
    assert view.note == "Nothing repeats beyond doubt in these shoots."
    assert view.intents


def test_shoots_without_a_plan_are_listed_and_count_for_nothing():
    bare = Shoot("Peel", "2026-01-02", is_day_taken=False, n_pictures=3, intents=())
    view = shoots_view([*history(2), bare])
    assert view.intents == ()
    assert view.rows[-1].met == "without a plan"
    assert view.rows[-1].number == ""
    assert view.rows[-1].day.endswith("(audited)")


def test_quantities_of_too_few_shoots_are_named_and_not_drawn():
    shoots = history(3)
    rare = KeptIntent("diagonal", 0, 0, 4, 0)
    first = shoots[0]
    shoots[0] = Shoot(
        first.title, first.day, first.is_day_taken, first.n_pictures, (*first.intents, rare)
    )
    view = shoots_view(shoots)
    assert view.remarks == (
        "Decided in fewer than 3 shoots, so nothing is said of them: diagonal.",
    )
    assert "Diagonal" not in {one.title for one in view.intents}


def test_of_many_shoots_the_latest_are_drawn():
    view = shoots_view(history(MOST_SHOOTS + 3))
    assert "3 earlier shoots are not drawn and not counted." in view.remarks
    chart = view.intents[0].charts[0].chart
    assert len(chart.dots) == MOST_SHOOTS
    assert sum(bool(dot.number) for dot in chart.dots) <= 12
    assert [row.number for row in view.rows[:4]] == ["", "", "", "1"]


def test_dots_stand_at_their_share_with_wilsons_interval():
    shoots = history(3)
    chart = shoots_view(shoots).intents[0].charts[0].chart
    intent = shoots[0].intents[0]
    top, bottom = (float(level.path.split()[1].split("H")[0]) for level in chart.levels[::-2])
    share = (bottom - float(chart.dots[0].y)) / (bottom - top)
    assert share == pytest.approx(intent.met / intent.n_decided, abs=0.01)
    least, most = (
        (bottom - float(y)) / (bottom - top)
        for y in re.match(r"M[\d.]+ ([\d.]+)V([\d.]+)", chart.dots[0].interval).groups()
    )
    assert least < share
    assert share <= most


def test_an_interval_beyond_the_chart_ends_in_an_arrow():
    shoots = [
        Shoot(
            "",
            f"2026-01-0{n}",
            is_day_taken=True,
            n_pictures=2,
            intents=(shoot.intents),
        )
        for n, shoot in enumerate(history(3, seed=4), start=1)
    ]
    camera = next(one for one in shoots_view(shoots).intents if one.title == "Camera angle").charts[
        1
    ]
    for dot in camera.chart.dots:
        assert dot.interval.count("M") == 3


def test_foreign_text_is_escaped():
    page = render_shoots(history(3, title=NASTY), "Made by auditor 0.1.0.")
    assert "<script" not in page
    assert "&lt;script&gt;" in page
    assert MARK in page.encode()
    assert "Made by auditor 0.1.0." in page


def test_every_drawing_has_words_for_those_who_cannot_see_it():
    page = render_shoots(history(4), "Made.")
    drawings = re.findall(r"<svg[^>]*>", page)
    assert drawings
    for one in drawings:
        assert 'role="img"' in one
        assert re.search(r'aria-label="[^"]{40,}"', one)
