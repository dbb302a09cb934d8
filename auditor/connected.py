"""Groups of things that are linked to each other, directly or through others.

`scipy.sparse.csgraph.connected_components` does the same, but loading it takes longer than all
graphs of an audit.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.intp]


def connected_groups(n: int, first: Numbers, second: Numbers) -> Numbers:
    """Number the connected groups of an undirected graph.

    Parameters
    ----------
    n : int
        Number of things, at least 0.
    first, second : (m,) int arrays
        The two ends of each link, in [0, n).

    Returns
    -------
    (n,) int array
        The group of each thing; groups are numbered from 0 by their first member.
    """
    own = np.arange(n)
    root = own
    while True:
        one, other = root[first], root[second]
        if (one == other).all():
            # The root of a group is its first member.
            return np.asarray((np.cumsum(root == own) - 1)[root])
        # Each pass joins every group to the first of those that it is linked to, so that at most
        # half of the groups with open links are left.
        lowest = np.minimum(one, other)
        root = root.copy()
        np.minimum.at(root, one, lowest)
        np.minimum.at(root, other, lowest)
        root = _flat(root)


def _flat(root: Numbers) -> Numbers:
    """Follow roots up to those that are their own."""
    above = root[root]
    while (above != root).any():
        root, above = above, above[above]
    return root
