"""Charts of the series: where each picture lies in each quantity, in pixels of the drawing."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from auditor.geometry import Point
from auditor.page.drawing import shapes
from auditor.page.drawing.dots import MOST_NUMBERED, Dot, dot_radius, furthest, make_dot, swarm
from auditor.record.series_records import (
    SeriesQuantityRecord,
    SetTemperatureClusterRecord,
)
from auditor.wording.numbers import kelvin
from auditor.wording.set_summary import axis_ends, set_value_text

WIDTH, MARGIN = 360, 20
SWARM_HEIGHT = 64  # room for the dots
AXIS_GAP = 16  # from the axis to the numbers under it
LABEL_SIZE = 12
CLUSTER_ROW = 18
CLUSTER_ROWS = 2
BRACKET_GAP = 5  # from a bracket to the dots, to its number and beyond its dots
ENDS_ROW = 16  # for the words at both ends of an axis
PADDING = 0.08  # of the span, so that no dot lies on the edge
MOST_TICKS = 5
TICK_STEPS = (1.0, 2.0, 5.0, 10.0)
KELVIN_TICKS = (12000, 9000, 7500, 6500, 5500, 5000, 4500, 4000, 3500, 3200, 2800, 2400)
LEAST_TICK_GAP = 46.0  # px: a number of five characters

NUMBER_ABOVE, NUMBER_BELOW = -9.0, 18.0  # px, baseline of an outlier's number from its dot

# The least span shown of each unit, so that a set without variety looks like one.
LEAST_SPAN = {
    "mired": 60.0,
    "deg": 20.0,
    "EV": 1.5,
    "L*": 30.0,
    "C*": 20.0,
    "CIEDE2000": 10.0,
    "Duv": 0.02,
    "fraction of frame": 0.3,
    "h": 12.0,
    "": 0.3,
}
LEAST_SPAN_OF = {"roll": 4.0}


@dataclass(frozen=True, slots=True)
class Tick:
    """A number at the axis."""

    x: str
    text: str


@dataclass(frozen=True, slots=True)
class Bracket:
    """Pictures of about the same colour temperature."""

    path: str
    x: str
    y: str
    text: str


@dataclass(frozen=True, slots=True)
class Strip:
    """Pictures along an axis.

    `centre` and `band` are empty for a set too small to have them, `ends` where the numbers say
    enough.
    """

    width: int
    height: int
    radius: str
    axis: str
    tick_y: str
    dots: tuple[Dot, ...]
    ticks: tuple[Tick, ...]
    centre: str
    band: str
    brackets: tuple[Bracket, ...]
    ends: tuple[str, ...]
    ends_y: str


@dataclass(frozen=True, slots=True)
class _Scale:
    """From a quantity's values to pixels along the axis."""

    low: float
    high: float

    @classmethod
    def around(cls, values: Sequence[float], quantity: SeriesQuantityRecord) -> _Scale:
        low, high = min(values), max(values)
        least = LEAST_SPAN_OF.get(quantity.quantity, LEAST_SPAN.get(quantity.unit, high - low))
        span = max((high - low) * (1 + 2 * PADDING), least) or 1.0
        middle = (low + high) / 2
        return cls(middle - span / 2, middle + span / 2)

    def __call__(self, value: float) -> float:
        inside = (value - self.low) / (self.high - self.low)
        return MARGIN + min(max(inside, 0.0), 1.0) * (WIDTH - 2 * MARGIN)


def strip_chart(
    quantity: SeriesQuantityRecord,
    numbers: Mapping[str, int],
    clusters: Sequence[SetTemperatureClusterRecord] = (),
) -> Strip:
    """Draw one quantity of the set along an axis; there must be at least one value.

    Parameters
    ----------
    quantity : SeriesQuantityRecord
    numbers : mapping of str to int
        Number of each picture in the set.
    clusters : sequence of SetTemperatureClusterRecord
        Drawn as brackets over the dots.
    """
    values = [value for _, value in quantity.values]
    scale = _Scale.around(values, quantity)
    radius = dot_radius(len(values))
    shown = clusters if len(clusters) > 1 else ()
    top = CLUSTER_ROW * CLUSTER_ROWS if shown else 0
    middle = top + SWARM_HEIGHT / 2
    axis = top + SWARM_HEIGHT
    offsets = swarm([scale(value) for value in values], radius, SWARM_HEIGHT / 2 - radius)
    outliers = {outlier.file for outlier in quantity.outliers}
    named = {outlier.file for outlier in furthest(quantity)[:MOST_NUMBERED]}
    ends = axis_ends(quantity)
    dots = tuple(
        make_dot(
            Point(scale(value), middle + offset),
            Point(scale(value), middle + offset + (NUMBER_BELOW if offset > 0 else NUMBER_ABOVE)),
            f"{numbers[file]}: {set_value_text(value, quantity)}",
            file in outliers,
            str(numbers[file]) if file in named else "",
        )
        for (file, value), offset in zip(quantity.values, offsets, strict=True)
    )
    return Strip(
        WIDTH,
        axis + AXIS_GAP + LABEL_SIZE + (ENDS_ROW if ends else 0),
        shapes.number(radius),
        shapes.polyline(Point(MARGIN, axis), Point(WIDTH - MARGIN, axis)),
        shapes.number(axis + AXIS_GAP + LABEL_SIZE / 2),
        dots,
        _ticks(scale, quantity),
        _upright(quantity.centre, scale, top, axis),
        _band(quantity, scale, top, axis),
        tuple(_brackets(shown, dict(quantity.values), scale)),
        ends,
        shapes.number(axis + AXIS_GAP + LABEL_SIZE / 2 + ENDS_ROW),
    )


def _upright(value: float | None, scale: _Scale, top: float, bottom: float) -> str:
    if value is None:
        return ""
    return f"M{shapes.number(scale(value))} {shapes.number(top)}V{shapes.number(bottom)}"


def _band(quantity: SeriesQuantityRecord, scale: _Scale, top: float, bottom: float) -> str:
    """One spread to either side of the centre."""
    if quantity.centre is None or quantity.spread is None:
        return ""
    left, right = (scale(quantity.centre + s * quantity.spread) for s in (-1, 1))
    return shapes.polyline(
        Point(left, top), Point(right, top), Point(right, bottom), Point(left, bottom), closed=True
    )


def _ticks(scale: _Scale, quantity: SeriesQuantityRecord) -> tuple[Tick, ...]:
    if quantity.unit == "mired":
        values = [1e6 / k for k in KELVIN_TICKS]
    else:
        values = _round_values(scale.low, scale.high)
    ticks: list[Tick] = []
    last = -math.inf
    for value in values:
        x = scale(value)
        if scale.low <= value <= scale.high and x - last >= LEAST_TICK_GAP:
            ticks.append(Tick(shapes.number(x), set_value_text(value, quantity)))
            last = x
    return tuple(ticks)


def _round_values(low: float, high: float) -> list[float]:
    """Round numbers within a span, few enough to be read."""
    magnitude = 10.0 ** math.floor(math.log10((high - low) / MOST_TICKS))
    step = next(s * magnitude for s in TICK_STEPS if (high - low) / (s * magnitude) <= MOST_TICKS)
    first = math.ceil(low / step)
    return [i * step for i in range(first, math.floor(high / step) + 1)]


def _brackets(
    clusters: Sequence[SetTemperatureClusterRecord],
    values: Mapping[str, float],
    scale: _Scale,
) -> list[Bracket]:
    brackets = []
    ordered = sorted(clusters, key=lambda cluster: cluster.mired)
    for place, cluster in enumerate(ordered):
        found = [scale(values[file]) for file in cluster.files if file in values]
        if not found:
            continue
        y = CLUSTER_ROW * (1 + place % CLUSTER_ROWS) - BRACKET_GAP
        left, right = min(found) - BRACKET_GAP, max(found) + BRACKET_GAP
        text_x = min(max((left + right) / 2, MARGIN * 3), WIDTH - MARGIN * 3)
        brackets.append(
            Bracket(
                f"M{shapes.number(left)} {y}H{shapes.number(right)}",
                shapes.number(text_x),
                shapes.number(y - BRACKET_GAP + 1),
                f"{kelvin(cluster.cct_k)} × {len(cluster.files)}",
            )
        )
    return brackets
