"""Directions other than the horizontal along which letters stand."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.connected import connected_groups
from auditor.measurements.additions.letters import Letters
from auditor.measurements.additions.rows import are_alike

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
        Places in the columns of the letters.
    """

    angle_deg: float
    members: NDArray[np.intp]


def find_slanted_lines(letters: Letters) -> list[SlantedLine]:
    """Find slanted lines of letters, those with most letters first."""
    n = letters.numbers.size
    if n < MIN_LETTERS:
        return []
    x, y = (letters.left + letters.right) / 2, (letters.top + letters.bottom) / 2
    i, j = _near_pairs(letters, x, y)
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
                lines.append(line)
    lines.sort(key=lambda line: -line.members.size)
    kept: list[SlantedLine] = []
    for line in lines:
        if all(np.intersect1d(line.members, other.members).size == 0 for other in kept):
            kept.append(line)
    return kept[:MAX_LINES]


def _near_pairs(
    letters: Letters, x: NDArray[np.float64], y: NDArray[np.float64]
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Pairs of alike shapes that are near each other."""
    size = np.maximum(letters.height, letters.right - letters.left)
    i, j = np.triu_indices(x.size, 1)
    close = np.abs(x[i] - x[j]) <= MAX_DISTANCE * np.maximum(size[i], size[j])
    i, j = i[close], j[close]
    larger, smaller = np.maximum(size[i], size[j]), np.minimum(size[i], size[j])
    distance = np.hypot(x[i] - x[j], y[i] - y[j])
    close = (distance <= MAX_DISTANCE * larger) & (larger <= MAX_SIZE_RATIO * smaller)
    i, j = i[close], j[close]
    alike = are_alike(letters, i, j)
    return i[alike], j[alike]


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
