"""Dots of the charts, one a picture: their size, their room, their numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from auditor.geometry import Point
from auditor.page.drawing import shapes
from auditor.record.series_records import (
    OutlierRecord,
    SeriesQuantityRecord,
)

# Smaller dots for larger sets: 300 of them must still be distinct.
DOT_RADII = ((30, 5.0), (100, 3.5), (math.inf, 2.5))
MOST_NUMBERED = 8  # more numbers would cover each other


@dataclass(frozen=True, slots=True)
class Dot:
    """One picture in a chart; `number` is empty for one without a number beside it."""

    x: str
    y: str
    title: str
    outlier: bool
    number: str
    number_x: str
    number_y: str


def furthest(quantity: SeriesQuantityRecord) -> list[OutlierRecord]:
    """The pictures that leave the set, the farthest first."""
    return sorted(quantity.outliers, key=lambda outlier: -abs(outlier.deviation))


def make_dot(at: Point, number_at: Point, text: str, outlier: bool, number: str) -> Dot:
    """Draw one picture."""
    return Dot(
        shapes.number(at.x),
        shapes.number(at.y),
        text,
        outlier,
        number,
        shapes.number(number_at.x),
        shapes.number(number_at.y),
    )


def dot_radius(n: int) -> float:
    """Radius of a dot among `n`."""
    return next(radius for most, radius in DOT_RADII if n <= most)


def swarm(
    positions: Sequence[float], radius: float, room: float, *, one_sided: bool = False
) -> tuple[float, ...]:
    """Spread dots sideways so that they do not hide each other.

    Parameters
    ----------
    positions : sequence of float
        Along the axis, pixels.
    radius : float
        Of a dot, pixels.
    room : float
        How far a dot may leave the axis, pixels.
    one_sided : bool
        True where dots may leave it to one side only.

    Returns
    -------
    tuple of float
        Offset from the axis of each dot, as near to it as is free; dots that find no room lie on
        the axis.
    """
    offsets = [0.0] * len(positions)
    steps = [0.0]
    for row in range(1, int(room / (2 * radius)) + 1):
        away = row * 2 * radius
        steps += [away] if one_sided else [away, -away]
    # Rows are a dot apart: a dot can only hide the last one of its own row.
    last_in_row = dict.fromkeys(steps, -math.inf)
    for index in sorted(range(len(positions)), key=lambda i: positions[i]):
        position = positions[index]
        free = (step for step in steps if position - last_in_row[step] >= 2 * radius)
        offsets[index] = next(free, 0.0)
        last_in_row[offsets[index]] = position
    return tuple(offsets)
