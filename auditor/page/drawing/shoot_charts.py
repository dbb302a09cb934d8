"""Charts over shoots: one dot a shoot with its interval, in pixels of the drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.geometry import Point
from auditor.history.habits import Trend
from auditor.history.intervals import Interval
from auditor.page.drawing.shapes import number, polyline

WIDTH, HEIGHT = 340, 150
LEFT, RIGHT, TOP = 44, 8, 10  # room for the numbers of the axis
AXIS_GAP = 18  # from the lower edge of the plot to the numbers of the shoots
BOTTOM = HEIGHT - AXIS_GAP - 8
RADIUS = 3.5
MOST_NUMBERS = 12  # of shoots that stand side by side under a chart
ARROW = 3.5  # half the width of an open arrow
HEADROOM = 1.15  # above the largest value that must be in the chart
LEAST_HALF_SPAN = 1.0  # of a chart of differences, in tolerances


@dataclass(frozen=True, slots=True)
class ShootDot:
    """One shoot: its dot, its interval (may be empty), what it says when pointed at."""

    x: str
    y: str
    interval: str
    title: str
    number: str


@dataclass(frozen=True, slots=True)
class Level:
    """A level line with its number."""

    path: str
    y: str
    text: str
    is_plan: bool


@dataclass(frozen=True, slots=True)
class ShootChart:
    """A chart; `mean` and `band` are empty where there is no mean over the shoots."""

    dots: tuple[ShootDot, ...]
    levels: tuple[Level, ...]
    mean: str
    band: str
    width: int = WIDTH
    height: int = HEIGHT
    label_x: str = number(LEFT - 6)
    numbers_y: str = number(BOTTOM + AXIS_GAP)
    radius: str = number(RADIUS)


@dataclass(frozen=True, slots=True)
class Drawn:
    """What is drawn of one shoot: its place among the shoots, value, interval, words."""

    place: int
    number: int
    value: float
    interval: Interval | None
    title: str


@dataclass(frozen=True, slots=True)
class _Scale:
    """From values to pixels: the lowest at the bottom."""

    low: float
    high: float

    def __call__(self, value: float) -> float:
        inside = (value - self.low) / (self.high - self.low)
        return BOTTOM - min(max(inside, 0.0), 1.0) * (BOTTOM - TOP)

    def shows(self, value: float) -> bool:
        """Whether a value lies inside the chart."""
        return self.low <= value <= self.high


def share_chart(shoots: Sequence[Drawn], n_places: int, texts: Sequence[str]) -> ShootChart:
    """Draw the share met of each shoot, from 0 to 1.

    Parameters
    ----------
    shoots : sequence of Drawn
    n_places : int
        Number of shoots of the page, so that all charts have the same places.
    texts : sequence of str
        The numbers at 0, one half and 1.
    """
    scale = _Scale(0.0, 1.0)
    levels = tuple(
        _level(value, scale, text, is_plan=False)
        for value, text in zip((0.0, 0.5, 1.0), texts, strict=True)
    )
    return ShootChart(_dots(shoots, n_places, scale), levels, "", "")


def trend_chart(
    shoots: Sequence[Drawn],
    n_places: int,
    trend: Trend,
    tolerance: float,
    texts: Sequence[str],
) -> ShootChart:
    """Draw the mean difference of each shoot about the plan, with their mean and its interval.

    Parameters
    ----------
    shoots : sequence of Drawn
    n_places : int
    trend : Trend
    tolerance : float
        Of the quantity: the chart shows at least so much to either side.
    texts : sequence of str
        The numbers at one tolerance below, at the plan and at one tolerance above.
    """
    largest = max(abs(shoot.value) for shoot in shoots)
    half = HEADROOM * max(largest, LEAST_HALF_SPAN * tolerance, *map(abs, trend.interval))
    half = min(half, HEADROOM * max(2 * largest, tolerance))  # a wide interval may leave the chart
    scale = _Scale(-half, half)
    levels = tuple(
        _level(value, scale, text, is_plan=not value)
        for value, text in zip((-tolerance, 0.0, tolerance), texts, strict=True)
    )
    mean = scale(trend.mean)
    least, most = (scale(end) for end in trend.interval)
    corners = (
        Point(LEFT, least),
        Point(WIDTH - RIGHT, least),
        Point(WIDTH - RIGHT, most),
        Point(LEFT, most),
    )
    return ShootChart(
        _dots(shoots, n_places, scale),
        levels,
        f"M{LEFT} {number(mean)}H{WIDTH - RIGHT}",
        polyline(*corners, closed=True),
    )


def _level(value: float, scale: _Scale, text: str, *, is_plan: bool) -> Level:
    y = scale(value)
    return Level(f"M{LEFT} {number(y)}H{WIDTH - RIGHT}", number(y + 4), text, is_plan)


def _dots(shoots: Sequence[Drawn], n_places: int, scale: _Scale) -> tuple[ShootDot, ...]:
    step = (WIDTH - LEFT - RIGHT) / n_places
    every = -(-n_places // MOST_NUMBERS)
    return tuple(
        ShootDot(
            number(LEFT + step * (shoot.place + 0.5)),
            number(scale(shoot.value)),
            _upright(shoot.interval, LEFT + step * (shoot.place + 0.5), scale),
            shoot.title,
            "" if shoot.place % every else str(shoot.number),
        )
        for shoot in shoots
    )


def _upright(interval: Interval | None, x: float, scale: _Scale) -> str:
    """The interval as an upright line; an end outside the chart is an open arrow."""
    if interval is None:
        return ""
    line = f"M{number(x)} {number(scale(interval.least))}V{number(scale(interval.most))}"
    ends = ((interval.least, 1), (interval.most, -1))
    return line + "".join(_end(x, value, way, scale) for value, way in ends)


def _end(x: float, value: float, way: int, scale: _Scale) -> str:
    y = scale(value)
    left, right = number(x - ARROW), number(x + ARROW)
    if scale.shows(value):
        return f"M{left} {number(y)}H{right}"
    back = number(y - way * ARROW)
    return f"M{left} {back}L{number(x)} {number(y)}L{right} {back}"
