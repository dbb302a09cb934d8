"""Assign what was found in the frame to the planned elements."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

_LEAST_WEIGHT = 1e-9  # keeps the logarithm finite; no candidate that is possible weighs so little
# Of logarithms of weights: far below any difference that means something, far above rounding.
_FOR_THE_EARLIER = 1e-9


def assign(weights: NDArray[np.float64], nothing: float) -> tuple[int | None, ...]:
    """Assign to each planned element a different candidate, or nothing.

    The assignment with the largest product of weights is taken; of several, that which gives the
    earlier planned elements the earlier candidates.

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
    costs = -np.log(np.maximum(every, _LEAST_WEIGHT))
    # Least where rows and columns have one order; solvers decide ties each in their own way.
    apart = np.subtract.outer(np.arange(every.shape[0]), np.arange(every.shape[1]))
    costs += _FOR_THE_EARLIER * apart**2
    rows, columns = linear_sum_assignment(costs)
    given = dict(zip(rows.tolist(), columns.tolist(), strict=True))
    return tuple(given[index] if given[index] < n_found else None for index in range(n_planned))
