"""Assign what was found in the frame to the planned elements."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

_LEAST_WEIGHT = 1e-9  # keeps the logarithm finite; no candidate that is possible weighs so little


def assign(weights: NDArray[np.float64], nothing: float) -> tuple[int | None, ...]:
    """Assign to each planned element a different candidate, or nothing.

    The assignment with the largest product of weights is taken.

    Parameters
    ----------
    weights : (n, m) float array
        How likely each of m candidates is each of n planned elements, up to a common factor; not
        negative.
    nothing : float
        The weight of a planned element to which no candidate is assigned.

    Returns
    -------
    tuple of (int or None)
        For each planned element the index of its candidate.
    """
    n_planned, n_found = weights.shape
    if n_planned == 0:
        return ()
    from scipy.optimize import linear_sum_assignment  # slow to load

    every = np.hstack([weights, np.full((n_planned, n_planned), nothing)])
    rows, columns = linear_sum_assignment(-np.log(np.maximum(every, _LEAST_WEIGHT)))
    given = dict(zip(rows.tolist(), columns.tolist(), strict=True))
    return tuple(given[index] if given[index] < n_found else None for index in range(n_planned))
