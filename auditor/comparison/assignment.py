"""Assign the elements found in the frame to the planned ones."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.optimize import linear_sum_assignment

from auditor.geometry import Region, distance_fraction
from auditor.plan.shot_plan import PlannedThing

# Weight of the full distance, which only decides between assignments that are otherwise equal.
_TIE_WEIGHT = 1e-3


def assign_elements(
    planned: Sequence[PlannedThing],
    found: Sequence[Region],
    width: float,
    height: float,
    *,
    reach: float,
) -> tuple[int | None, ...]:
    """Assign to each planned element a different one of those found.

    As many as possible get one near their place: a distance counts no more than `reach`, because
    beyond it an element is out of its place, however far away it is. Elements planned without a
    place get the remaining ones, in order.

    Parameters
    ----------
    planned : sequence of PlannedThing
    found : sequence of Region
        Largest first.
    width, height : float
        Of the frame, in the right proportion to each other.
    reach : float
        Fraction of the diagonal.

    Returns
    -------
    tuple of (int or None)
        For each planned element the index into `found`; None if none is left for it.
    """
    assigned: dict[int, int] = {}
    placed = [(index, thing.at) for index, thing in enumerate(planned) if thing.at is not None]
    if placed and found:
        distances = np.array(
            [[distance_fraction(at, region.centroid, width, height) for region in found]
             for _, at in placed]
        )  # fmt: skip
        costs = np.minimum(distances, reach) + _TIE_WEIGHT * distances
        rows, columns = linear_sum_assignment(costs)
        assigned = {placed[row][0]: int(column) for row, column in zip(rows, columns, strict=True)}
    left = iter([index for index in range(len(found)) if index not in assigned.values()])
    return tuple(
        assigned.get(index) if thing.at is not None else next(left, None)
        for index, thing in enumerate(planned)
    )
