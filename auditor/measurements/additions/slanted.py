"""Directions other than the horizontal along which letters stand."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from auditor.connected import connected_groups
from auditor.measurements.additions.letters import measure_letters
from auditor.measurements.additions.rows import are_alike
from auditor.measurements.additions.shapes import Indices, Shapes
from auditor.measurements.additions.strokes import Strokes

ANGLES_DEG = tuple(range(-85, 90, 10))
"""Middles of the ranges of direction, counter-clockwise; those along rows are left out."""

HALF_RANGE_DEG = 12.0
"""Half of a range: a letter with an ascender lies higher than its neighbour by about a fifth of
their distance."""

MIN_ANGLE_DEG = 12.0
"""Slope below which rows are found without turning the picture."""

MAX_DISTANCE = 2.2
"""Distance between the middles of neighbours, relative to the larger of their sizes."""

MAX_SIZE_RATIO = 2.0
"""Sizes (longer side of the box) of neighbours."""

MIN_LETTERS = 7
"""Least number of letters in a slanted line: fewer stand in line by chance. From 5 on a picture
without writing has four such lines, each of which takes time, and from 7 on less than one."""

MAX_WIDTH = 0.09
"""Spread across the line relative to that along it."""

MAX_LINES = 1
"""Lines of one polarity that are looked at further, those of most letters first."""


@dataclass(frozen=True, slots=True)
class SlantedLine:
    """Letters that stand along one slanted direction.

    Attributes
    ----------
    angle_deg : float
        Counter-clockwise from the horizontal, in (-90, 90].
    members : (n,) int array
        Places in the columns of the shapes.
    """

    angle_deg: float
    members: NDArray[np.intp]


def find_slanted_lines(
    pixels: NDArray[np.uint8], strokes: Strokes, shapes: Shapes
) -> list[SlantedLine]:
    """Find slanted lines of shapes that could be letters, those with most letters first.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    strokes, shapes
        Found in it.
    """
    first, second = _near_pairs(shapes)
    group = connected_groups(shapes.count, first, second)
    chosen = (np.bincount(group, minlength=shapes.count) >= MIN_LETTERS)[group]
    letters = measure_letters(pixels, strokes, shapes, chosen)
    linked = chosen[first]  # and with it the other
    place = np.cumsum(chosen) - 1
    i, j = place[first[linked]], place[second[linked]]
    alike = are_alike(letters, i, j)
    i, j = i[alike], j[alike]
    n = letters.shapes.size
    x, y = (letters.left + letters.right) / 2, (letters.top + letters.bottom) / 2
    direction = np.degrees(np.arctan2(-(y[j] - y[i]), x[j] - x[i]))
    lines: list[SlantedLine] = []
    for middle in ANGLES_DEG:
        off = np.abs((direction - middle + 90) % 180 - 90)
        along = off <= HALF_RANGE_DEG
        if np.count_nonzero(along) < MIN_LETTERS - 1:
            continue
        of = connected_groups(n, i[along], j[along])
        counts = np.bincount(of)
        for number in np.flatnonzero(counts >= MIN_LETTERS):
            line = _line(x, y, np.flatnonzero(of == number))
            if line is not None:
                lines.append(replace(line, members=letters.shapes[line.members]))
    lines.sort(key=lambda line: -line.members.size)
    kept: list[SlantedLine] = []
    for line in lines:
        if all(np.intersect1d(line.members, other.members).size == 0 for other in kept):
            kept.append(line)
    return kept[:MAX_LINES]


def _near_pairs(shapes: Shapes) -> tuple[Indices, Indices]:
    """Pairs of shapes of like size that are near each other, the one of lower index first."""
    x, y = (shapes.left + shapes.right) / 2, (shapes.top + shapes.bottom) / 2
    size = np.maximum(shapes.height, shapes.width)
    order = np.argsort(x, kind="stable")
    farthest = x[order] + MAX_DISTANCE * size.max(initial=0)
    counts = np.searchsorted(x[order], farthest, side="right") - np.arange(order.size) - 1
    from_place = np.repeat(np.arange(order.size), counts)
    step = np.arange(from_place.size) - np.repeat(np.cumsum(counts) - counts, counts)
    one, other = order[from_place], order[from_place + 1 + step]
    i, j = np.minimum(one, other), np.maximum(one, other)
    larger, smaller = np.maximum(size[i], size[j]), np.minimum(size[i], size[j])
    near = (np.abs(y[i] - y[j]) <= MAX_DISTANCE * larger) & (larger <= MAX_SIZE_RATIO * smaller)
    i, j, larger = i[near], j[near], larger[near]
    near = np.hypot(x[i] - x[j], y[i] - y[j]) <= MAX_DISTANCE * larger
    return i[near], j[near]


def _line(
    x: NDArray[np.float64], y: NDArray[np.float64], members: NDArray[np.intp]
) -> SlantedLine | None:
    """The line of some letters, if they stand on one and it is slanted."""
    offsets = np.stack([x[members] - x[members].mean(), y[members] - y[members].mean()])
    spreads, axes = np.linalg.eigh(offsets @ offsets.T)
    if spreads[0] > MAX_WIDTH**2 * spreads[1]:
        return None
    angle = math.degrees(math.atan2(-axes[1, 1], axes[0, 1]))
    angle = angle - 180 if angle > 90 else angle + 180 if angle <= -90 else angle
    return SlantedLine(angle, members) if abs(angle) >= MIN_ANGLE_DEG else None
