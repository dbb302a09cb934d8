"""How far one palette is from another: optimal transport of their shares.

The shares of one palette are moved to the colours of the other at the least total cost. Moving a
share costs the share times the CIEDE2000 difference of the two colours. Also known as the earth
mover's distance (Rubner, Tomasi, Guibas: The Earth Mover's Distance as a Metric for Image
Retrieval, 2000).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import Swatch, ciede2000

# Pairs that are solved together: one large sparse problem takes a fifth of the time of many small
# ones.
PAIRS_AT_ONCE = 256

Floats = NDArray[np.float64]
Palette = Sequence[Swatch]


def palette_distance(first: Palette, second: Palette) -> float:
    """Mean CIEDE2000 over which the shares of one palette are moved to the other.

    Shares are relative to the sum of each palette. 0 for equal palettes; symmetric.

    Raises
    ------
    ValueError
        If a palette has no colour.
    """
    return palette_distances([(first, second)])[0]


def palette_distances(pairs: Sequence[tuple[Palette, Palette]]) -> list[float]:
    """`palette_distance` of many pairs."""
    found: list[float] = []
    for start in range(0, len(pairs), PAIRS_AT_ONCE):
        part = pairs[start : start + PAIRS_AT_ONCE]
        shares = [(_shares(first), _shares(second)) for first, second in part]
        found += transport_costs(shares, _differences(part))
    return found


def _shares(palette: Palette) -> Floats:
    shares = np.array([swatch.share for swatch in palette], dtype=np.float64)
    if not shares.size or shares.sum() <= 0:
        raise ValueError("a palette without a colour has no distance")
    relative: Floats = shares / shares.sum()
    return relative


def _differences(pairs: Sequence[tuple[Palette, Palette]]) -> list[Floats]:
    """CIEDE2000 between the colours of each pair, (n, m) each, in one computation."""
    shapes = [(len(first), len(second)) for first, second in pairs]
    left = [swatch.lab for first, second in pairs for swatch in first for _ in second]
    right = [swatch.lab for first, second in pairs for _ in first for swatch in second]
    flat = ciede2000(np.array(left), np.array(right))
    ends = np.cumsum([n * m for n, m in shapes])[:-1]
    return [part.reshape(shape) for part, shape in zip(np.split(flat, ends), shapes, strict=True)]


def transport_costs(
    shares: Sequence[tuple[Floats, Floats]], costs: Sequence[Floats]
) -> list[float]:
    """Least cost of each of several transports, solved as one linear programme.

    Parameters
    ----------
    shares : sequence of ((n,) array, (m,) array)
        What is given and what is wanted; each sums to 1.
    costs : sequence of (n, m) array
        Of moving one unit.
    """
    from scipy.optimize import linprog  # slow to load, and needed for sets alone
    from scipy.sparse import csr_matrix

    rows, columns, totals = [], [], []
    n_rows = n_columns = 0
    for (given, wanted), cost in zip(shares, costs, strict=True):
        cell = np.arange(cost.size)
        rows += [n_rows + cell // wanted.size, n_rows + given.size + cell % wanted.size]
        columns += [n_columns + cell, n_columns + cell]
        totals += [given, wanted]
        n_rows += given.size + wanted.size
        n_columns += cost.size
    places = np.concatenate(rows), np.concatenate(columns)
    sums = csr_matrix((np.ones(places[0].size), places), shape=(n_rows, n_columns))
    price = np.concatenate([cost.ravel() for cost in costs])
    # Presolving takes longer than it saves: no row is redundant but one.
    moved = linprog(
        price,
        A_eq=sums,
        b_eq=np.concatenate(totals),
        method="highs-ds",
        options={"presolve": False},
    )
    if not moved.success:
        raise ArithmeticError(f"the transport was not solved: {moved.message}")
    paid = np.split(price * moved.x, np.cumsum([cost.size for cost in costs])[:-1])
    return [float(part.sum()) for part in paid]
