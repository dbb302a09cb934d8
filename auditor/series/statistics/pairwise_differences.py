"""Order statistics of all pairwise differences, without forming all pairs."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Places = NDArray[np.intp]


def kth_smallest_difference(values: Floats, k: int) -> float:
    """The `k`-th smallest, from 1, of the absolute differences of all pairs of (n,) values.

    The method of Johnson and Mizoguchi (Selecting the Kth Element in X + Y and X1 + ... + Xm, SIAM
    Journal on Computing 7, 1978), which Croux and Rousseeuw use for Qn: in a sorted sequence the
    differences from one value to all later ones are sorted too. Each round compares them with the
    weighted median of the medians of these rows, and keeps the part that holds the answer.
    """
    ordered = np.sort(values)
    n = ordered.size
    row = np.arange(n)
    first, end = row + 1, np.full(n, n)  # of row i the columns first[i] to end[i] - 1 are left
    while (n_left := int((end - first).sum())) > n:
        middle = (first + end) // 2
        open_rows = first < end
        medians = ordered[middle[open_rows]] - ordered[row[open_rows]]
        trial = _weighted_median(medians, (end - first)[open_rows])
        smaller = _columns_below(ordered, trial, inclusive=False)
        up_to = _columns_below(ordered, trial, inclusive=True)
        if k <= int((smaller - row - 1).sum()):
            end = np.maximum(first, np.minimum(end, smaller))
        elif k > int((up_to - row - 1).sum()):
            first = np.minimum(end, np.maximum(first, up_to))
        else:
            return trial
    n_before = int((first - row - 1).sum())
    rows = np.repeat(row, end - first)
    starts = np.cumsum(end - first) - (end - first)
    columns = np.arange(n_left) - starts[rows] + first[rows]
    left = ordered[columns] - ordered[rows]
    place = k - n_before - 1
    return float(np.partition(left, place)[place])


def _weighted_median(values: Floats, weights: Places) -> float:
    order = np.argsort(values)
    cumulative = np.cumsum(weights[order])
    return float(values[order[np.searchsorted(cumulative, cumulative[-1] / 2)]])


def _columns_below(ordered: Floats, limit: float, *, inclusive: bool) -> Places:
    """For each row the first later column whose difference reaches, or exceeds, the limit.

    By bisection on the differences themselves: ``ordered + limit`` would be rounded otherwise.
    """
    n = ordered.size
    low, high = np.arange(1, n + 1), np.full(n, n)
    while (low < high).any():
        middle = np.minimum((low + high) // 2, n - 1)
        difference = ordered[middle] - ordered
        is_below = difference <= limit if inclusive else difference < limit
        is_open = low < high
        low = np.where(is_open & is_below, middle + 1, low)
        high = np.where(is_open & ~is_below, middle, high)
    return low
