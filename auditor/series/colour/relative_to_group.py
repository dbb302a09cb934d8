"""Values of tied pictures relative to each other, from the differences of pairs."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from auditor.connected import connected_groups
from auditor.series.colour.compared_pairs import ComparedPairs

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

N_REWEIGHTINGS = 12


def tied_groups(ties: ComparedPairs) -> list[Places]:
    """Places of the pictures of each group: tied to each other, directly or through others."""
    label = connected_groups(ties.n_pictures, ties.first, ties.second)
    order = np.argsort(label, kind="stable")
    return np.split(order, np.flatnonzero(np.diff(label[order])) + 1)


def relative_to_group(
    ties: ComparedPairs, differences: Floats, groups: list[Places], stray: float
) -> Floats:
    """Value of each picture relative to the median of its group, (N,).

    Least squares over the pairs, reweighted so that pairs that contradict the others count less.
    Only differences are known, so the first picture of each group is fixed at 0 at first.

    Parameters
    ----------
    ties : ComparedPairs
    differences : (N,) float array
        Of each pair, the second picture minus the first.
    groups : list of (n,) int array
        From `tied_groups`.
    stray : float
        A difference that contradicts the others by this much counts half.
    """
    position = np.zeros(ties.n_pictures)
    is_free = np.ones(ties.n_pictures, dtype=np.bool_)
    is_free[[members[0] for members in groups]] = False
    if is_free.any():
        for _ in range(N_REWEIGHTINGS):
            off = differences - (position[ties.second] - position[ties.first])
            weight = ties.similarity**2 / (1 + (off / stray) ** 2)
            position[is_free] = _solve(ties, differences, weight, is_free)
    for members in groups:
        position[members] -= np.median(position[members])
    return position


def _solve(
    ties: ComparedPairs, differences: Floats, weight: Floats, is_free: NDArray[np.bool_]
) -> Floats:
    """Weighted least squares for the free pictures: a sparse Laplacian of the graph of ties."""
    from scipy.sparse import coo_array  # slow to load, and sets without ties do without
    from scipy.sparse.linalg import splu

    n = ties.n_pictures
    first, second = ties.first, ties.second
    diagonal = np.bincount(first, weight, n) + np.bincount(second, weight, n)
    rows = np.concatenate([first, second, np.arange(n)])
    columns = np.concatenate([second, first, np.arange(n)])
    laplacian = coo_array((np.concatenate([-weight, -weight, diagonal]), (rows, columns)), (n, n))
    wanted = np.bincount(second, weight * differences, n)
    wanted -= np.bincount(first, weight * differences, n)
    free = laplacian.tocsc()[is_free][:, is_free]
    solved: Floats = splu(free, permc_spec="MMD_AT_PLUS_A").solve(wanted[is_free])
    return solved
