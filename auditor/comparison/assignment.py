"""Which element found in the frame is which of the planned ones."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.optimize import linear_sum_assignment

from auditor.geometry import Region, distance_fraction
from auditor.plan.shot_plan import PlannedThing

# Weight of distance beyond `reach`, only to choose between assignments that are otherwise alike.
_BEYOND_REACH = 1e-3


def assign_elements(
    planned: Sequence[PlannedThing],
    found: Sequence[Region],
    width: float,
    height: float,
    *,
    reach: float,
) -> tuple[int | None, ...]:
    """Give each planned element one of those found, each to one only.

    As many as possible are brought to their places: a distance counts no more than `reach`,
    because beyond it a thing is out of its place however far it lies. Elements planned without a
    place take what the others leave, in order.

    Parameters
    ----------
    planned : sequence of PlannedThing
    found : sequence of Region
        Largest first.
    width, height : float
        Of the frame, in the right proportion.
    reach : float
        Fraction of the diagonal.

    Returns
    -------
    tuple of (int or None)
        For each planned element the index into `found`, None where none is left for it.
    """
    given: dict[int, int] = {}
    placed = [(index, thing.at) for index, thing in enumerate(planned) if thing.at is not None]
    if placed and found:
        distances = np.array(
            [[distance_fraction(at, region.centroid, width, height) for region in found]
             for _, at in placed]
        )  # fmt: skip
        costs = np.minimum(distances, reach) + _BEYOND_REACH * distances
        rows, columns = linear_sum_assignment(costs)
        given = {placed[row][0]: int(column) for row, column in zip(rows, columns, strict=True)}
    left = iter([index for index in range(len(found)) if index not in given.values()])
    return tuple(
        given.get(index) if thing.at is not None else next(left, None)
        for index, thing in enumerate(planned)
    )
