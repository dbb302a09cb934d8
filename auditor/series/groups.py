"""Groups within the set: pictures of food on the same surface.

A group is made of the pictures whose surface is near to that of one of them, the group's middle.
The picture that most others are near to is the first middle; of those that are left, again the one
that most others are near to is the next. Then each picture belongs to its nearest middle. Nothing
in this depends on the order of the files.

Shading and light spread the colour of one table: in the demo series nine pictures of one table
differ by up to 10.7, and all of them are within 6 of one. If all pairs had to be near, that table
would be two groups; if a chain of near pairs were enough, 123 of 162 photographs of different
tables would be one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import ciede2000
from auditor.measurements.measured_photograph import MeasuredPhotograph

# In one light the colour of a table differs by less than this from picture to picture; two tables
# that differ by less look the same (common practice, no source).
SAME_SURFACE_CIEDE2000 = 6

# CIEDE2000 divides a difference in lightness by at most this weight: S_L = 1 + 0.015 d^2 /
# sqrt(20 + d^2) at a distance d of 50 of the mean lightness from 50 (Sharma, Wu, Dalal 2005).
# Surfaces that are too different in lightness alone need no further computation.
MOST_LIGHTNESS_WEIGHT = 1.75
ROWS_AT_ONCE = 16  # of the table of differences; keeps intermediate results in the cache


@dataclass(frozen=True, slots=True)
class Group:
    """Pictures of food on the same surface.

    Attributes
    ----------
    files : tuple of str
        In the order of the set.
    surface : str
        Colour of the surface of the picture that is the group's middle, ``#rrggbb``.
    """

    files: tuple[str, ...]
    surface: str


def group_by_surface(measured: Sequence[MeasuredPhotograph]) -> tuple[Group, ...]:
    """Pictures on the same surface, largest group first; without groups of a single picture."""
    found = [(p.surface.value, p.file) for p in measured if p.surface.value is not None]
    if not found:
        return ()
    labs = np.array([surface.lab for surface, _ in found], dtype=np.float64)
    by_lightness = np.lexsort(labs.T[::-1])
    members: dict[int, list[str]] = {}
    middles = np.empty(len(found), dtype=np.intp)
    middles[by_lightness] = _middles(labs[by_lightness])
    for (_, file), middle in zip(found, middles.tolist(), strict=True):
        members.setdefault(middle, []).append(file)
    groups = [
        Group(tuple(files), found[by_lightness[middle]][0].hex)
        for middle, files in members.items()
        if len(files) > 1
    ]
    return tuple(sorted(groups, key=lambda group: -len(group.files)))


def _middles(labs: NDArray[np.float64]) -> NDArray[np.intp]:
    """Index of the middle of each colour's group; its own index for a colour near to no other.

    Parameters
    ----------
    labs : (N, 3) float array
        CIELAB, sorted by lightness. Of equally good middles the first is taken.
    """
    differences = _differences(labs)
    near = differences <= SAME_SURFACE_CIEDE2000
    n_near = near.sum(axis=1)
    is_free = np.ones(len(labs), dtype=np.bool_)
    chosen = []
    while n_near.max() > 0:
        middle = int(np.argmax(n_near))
        taken = near[middle] & is_free
        is_free &= ~taken
        n_near = np.where(is_free, n_near - near[taken].sum(axis=0), 0)
        chosen.append(middle)
    nearest: NDArray[np.intp] = np.array(chosen)[np.argmin(differences[:, chosen], axis=1)]
    return nearest


def _differences(labs: NDArray[np.float64]) -> NDArray[np.float32]:
    """CIEDE2000 between all colours, (N, N); infinite where only the lightness is too different."""
    n_colours, lightness = len(labs), labs[:, 0]
    reach = MOST_LIGHTNESS_WEIGHT * SAME_SURFACE_CIEDE2000
    differences = np.full((n_colours, n_colours), np.inf, dtype=np.float32)
    for first in range(0, n_colours, ROWS_AT_ONCE):
        rows = slice(first, first + ROWS_AT_ONCE)
        end = np.searchsorted(lightness, lightness[rows][-1] + reach, side="right")
        columns = slice(first, int(end))
        differences[rows, columns] = ciede2000(labs[rows, np.newaxis], labs[np.newaxis, columns])
    return np.minimum(differences, differences.T)
