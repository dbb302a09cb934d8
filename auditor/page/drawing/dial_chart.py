"""The light directions of a set around a dial, seen from above, the camera at 6."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from auditor.geometry import Point
from auditor.page.drawing import shapes
from auditor.page.drawing.dots import MOST_NUMBERED, Dot, dot_radius, furthest, make_dot, swarm
from auditor.record.series_records import SeriesQuantityRecord
from auditor.wording.marks import DIAL_WORDS
from auditor.wording.numbers import clock

WIDTH, HEIGHT = 360, 216
RADIUS = 64.0
HUB = 8.0
BAND_GAP = 9.0  # the band of spread lies outside the rim, the dots inside it
TICK = 5.0
FOUR_HOURS = (12.0, 3.0, 6.0, 9.0)
NUMBER_GAP = 18.0
NUMBER_DROP = 4.0  # from the middle of a number to its baseline
# Where the words of the dial stand: behind the subject, right, at the camera, left.
WORD_PLACES = ((180, 12), (296, 114), (180, 212), (64, 114))
MOST_SPREAD_HOURS = 5.9  # a full circle has no arc


@dataclass(frozen=True, slots=True)
class Word:
    """A word at the dial."""

    text: str
    x: int
    y: int


@dataclass(frozen=True, slots=True)
class DialChart:
    """Pictures around the dial; `centre` and `band` are empty for a set too small to have them."""

    width: int
    height: int
    radius: str
    rim: str
    hub: str
    ticks: str
    words: tuple[Word, ...]
    dots: tuple[Dot, ...]
    centre: str
    band: str


def dial_chart(quantity: SeriesQuantityRecord, numbers: Mapping[str, int]) -> DialChart:
    """Draw the light of every picture; `numbers` gives each its number in the set."""
    middle = Point(WIDTH / 2, HEIGHT / 2 + 2)
    ticks = "".join(
        shapes.polyline(
            shapes.on_dial(middle, RADIUS - TICK, hour), shapes.on_dial(middle, RADIUS + TICK, hour)
        )
        for hour in FOUR_HOURS
    )
    return DialChart(
        WIDTH,
        HEIGHT,
        shapes.number(dot_radius(len(quantity.values))),
        shapes.circle(middle, RADIUS),
        shapes.circle(middle, HUB),
        ticks,
        tuple(Word(text, *place) for text, place in zip(DIAL_WORDS, WORD_PLACES, strict=True)),
        _dots(quantity, numbers, middle),
        _centre(quantity, middle),
        _band(quantity, middle),
    )


def _dots(
    quantity: SeriesQuantityRecord, numbers: Mapping[str, int], middle: Point
) -> tuple[Dot, ...]:
    radius = dot_radius(len(quantity.values))
    around = [value / 12 * 2 * math.pi * RADIUS for _, value in quantity.values]
    depths = swarm(around, radius, RADIUS / 2, one_sided=True)
    outliers = {outlier.file for outlier in quantity.outliers}
    named = {outlier.file for outlier in furthest(quantity)[:MOST_NUMBERED]}
    dots = []
    for (file, value), depth in zip(quantity.values, depths, strict=True):
        spot = shapes.on_dial(middle, RADIUS - depth, value)
        beside = shapes.on_dial(middle, RADIUS + NUMBER_GAP, value)
        text = f"{numbers[file]}: {clock(value)}"
        number = str(numbers[file]) if file in named else ""
        number_at = Point(beside.x, beside.y + NUMBER_DROP)
        dots.append(make_dot(spot, number_at, text, file in outliers, number))
    return tuple(dots)


def _centre(quantity: SeriesQuantityRecord, middle: Point) -> str:
    if quantity.centre is None:
        return ""
    return shapes.arrow(
        shapes.on_dial(middle, RADIUS + BAND_GAP, quantity.centre),
        shapes.on_dial(middle, HUB * 2, quantity.centre),
        HUB,
    )


def _band(quantity: SeriesQuantityRecord, middle: Point) -> str:
    if quantity.centre is None or quantity.spread is None:
        return ""
    spread = min(quantity.spread, MOST_SPREAD_HOURS)
    first, last = quantity.centre - spread, quantity.centre + spread
    return shapes.dial_arc(middle, RADIUS + BAND_GAP, first, last)
