"""The page over all shoots as plain data."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from auditor.history.habits import (
    KeptShare,
    Trend,
    are_enough,
    deviation_of,
    find_habits,
    kept_shares,
    latest,
    trends,
)
from auditor.history.intervals import mean_interval, wilson_interval
from auditor.history.shoot import Deviation, KeptIntent, Shoot
from auditor.page.drawing.shoot_charts import Drawn, ShootChart, share_chart, trend_chart
from auditor.quantities import PLANNED, tolerance_rule
from auditor.safe_text import one_line
from auditor.wording import shoots_page as words
from auditor.wording.habits import UNITS, habit_sentence, too_few_sentence
from auditor.wording.numbers import amount
from auditor.wording.quantity_names import title
from auditor.wording.texts import capital

SHARE_TICKS = ("0%", "50%", "100%")


@dataclass(frozen=True, slots=True)
class ChartView:
    """A chart with its heading, its summary and its description in words."""

    title: str
    summary: str
    description: str
    chart: ShootChart


@dataclass(frozen=True, slots=True)
class IntentView:
    """One quantity over the shoots."""

    title: str
    charts: tuple[ChartView, ...]


@dataclass(frozen=True, slots=True)
class ShootRow:
    """One shoot in the list; the number is empty for one that is not drawn."""

    number: str
    title: str
    day: str
    n_pictures: int
    met: str


@dataclass(frozen=True, slots=True)
class ShootsView:
    """The whole page."""

    texts: Mapping[str, str]
    subtitle: str
    habits: tuple[str, ...]
    note: str
    intents: tuple[IntentView, ...]
    remarks: tuple[str, ...]
    rows: tuple[ShootRow, ...]
    manual: Mapping[str, str]


def shoots_view(shoots: Sequence[Shoot]) -> ShootsView:
    """Make the page's data of what is remembered; nothing is said from too few shoots."""
    counted = latest(shoots)
    numbers = {id(shoot): place for place, shoot in enumerate(counted, start=1)}
    is_enough = are_enough(counted)
    habits = tuple(habit_sentence(one) for one in find_habits(counted))
    note = "" if habits else words.SHOOTS_TEXTS["nothing"]
    return ShootsView(
        texts=words.SHOOTS_TEXTS,
        subtitle=words.subtitle(shoots),
        habits=habits,
        note=note if is_enough else too_few_sentence(len(counted)),
        intents=_intents(counted),
        remarks=_remarks(shoots, counted) if is_enough else (),
        rows=tuple(_row(shoot, numbers.get(id(shoot))) for shoot in shoots),
        manual=words.MANUAL,
    )


def _row(shoot: Shoot, number: int | None) -> ShootRow:
    return ShootRow(
        "" if number is None else str(number),
        one_line(shoot.title),
        words.shoot_day(shoot),
        shoot.n_pictures,
        words.met_of_shoot(shoot),
    )


def _remarks(shoots: Sequence[Shoot], counted: Sequence[Shoot]) -> tuple[str, ...]:
    said = []
    drawn = {one.quantity for one in kept_shares(counted)}
    planned = {one.quantity for shoot in counted for one in shoot.intents}
    if rare := [one for one in PLANNED if one in planned - drawn]:
        said.append(words.too_rare_sentence(rare))
    if n_left_out := sum(bool(shoot.intents) for shoot in shoots) - len(counted):
        said.append(words.not_drawn_sentence(n_left_out))
    return tuple(said)


def _intents(counted: Sequence[Shoot]) -> tuple[IntentView, ...]:
    all_trends = trends(counted)
    return tuple(
        IntentView(
            title(share.quantity),
            (
                _share(share, counted),
                *(_trend(one, counted) for one in all_trends if one.quantity == share.quantity),
            ),
        )
        for share in kept_shares(counted)
    )


def _share(share: KeptShare, counted: Sequence[Shoot]) -> ChartView:
    own = [
        (place, shoot, intent)
        for place, shoot in enumerate(counted)
        if (intent := shoot.intent(share.quantity)) is not None
    ]
    decided = [(place, shoot, intent) for place, shoot, intent in own if intent.n_decided]
    drawn = [_drawn_share(place, shoot, intent) for place, shoot, intent in decided]
    described = [
        (place + 1, intent, wilson_interval(intent.met, intent.n_decided))
        for place, _, intent in decided
    ]
    return ChartView(
        capital(words.SHOOTS_TEXTS["share_axis"]),
        words.kept_summary(share, sum(intent.undecided for _, _, intent in own)),
        words.share_description(title(share.quantity), described),
        share_chart(drawn, len(counted), SHARE_TICKS),
    )


def _drawn_share(place: int, shoot: Shoot, intent: KeptIntent) -> Drawn:
    return Drawn(
        place,
        place + 1,
        intent.met / intent.n_decided,
        wilson_interval(intent.met, intent.n_decided),
        words.dot_title(place + 1, shoot, words.share_text(intent)),
    )


def _trend(trend: Trend, counted: Sequence[Shoot]) -> ChartView:
    found = [
        (place, shoot, one)
        for place, shoot in enumerate(counted)
        if (one := deviation_of(shoot, trend.quantity, trend.axis)) is not None
    ]
    drawn = [_drawn_deviation(place, shoot, trend.axis, one) for place, shoot, one in found]
    described = [(one.number, one.value, one.interval) for one in drawn]
    tolerance = tolerance_rule(trend.quantity).default
    unit = UNITS[trend.axis]
    ticks = [amount(value, unit, signed=True) for value in (-tolerance, 0.0, tolerance)]
    return ChartView(
        capital(words.side_title(trend.axis)),
        words.trend_summary(trend),
        words.trend_description(title(trend.quantity), trend.axis, described),
        trend_chart(drawn, len(counted), trend, tolerance, [_short(tick) for tick in ticks]),
    )


def _drawn_deviation(place: int, shoot: Shoot, axis: str, one: Deviation) -> Drawn:
    interval = (
        None
        if one.spread is None
        else mean_interval(one.mean, one.spread / math.sqrt(one.n), one.n - 1)
    )
    said = words.difference_text(axis, one.mean)
    return Drawn(place, place + 1, one.mean, interval, words.dot_title(place + 1, shoot, said))


def _short(tick: str) -> str:
    """A number at the axis without its long unit, which stands above the chart."""
    return tick.split(" ")[0]
