"""Near-duplicates: pairs of pictures that show the same."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.fingerprint import (
    NEAR_DUPLICATE_DIFFERENCE,
    decode_fingerprints,
    fingerprint_differences,
)
from auditor.measurements.measured_photograph import MeasuredPhotograph

Pairs = NDArray[np.intp]

PICTURES_AT_ONCE = 512  # compared with all later ones: bounds the memory of a large set
# As many as all pairs of 200 pictures. Where there are more (hundreds of copies of one file), only
# those are listed that join the same pictures to the same groups: fewer than there are pictures.
MOST_PAIRS = 19900


def find_duplicates(measured: Sequence[MeasuredPhotograph]) -> tuple[tuple[str, str], ...]:
    """Pairs of pictures that can hardly be distinguished, in the order of the set.

    All of them up to `MOST_PAIRS`; of more, as many as it takes to join the same groups.
    """
    files = [picture.file for picture in measured]
    layouts = decode_fingerprints([picture.fingerprint for picture in measured])
    pairs = np.empty((2, 0), dtype=np.intp)
    is_complete = True
    for start in range(0, len(files), PICTURES_AT_ONCE):
        some = layouts.part(start, start + PICTURES_AT_ONCE)
        near = fingerprint_differences(some, layouts.part(start)) <= NEAR_DUPLICATE_DIFFERENCE
        # Above the diagonal each pair stands once, and no picture beside itself.
        found = np.stack(np.nonzero(np.triu(near, k=1))) + start
        pairs = np.concatenate([pairs, found], axis=1)
        if pairs.shape[1] > MOST_PAIRS:
            pairs = _joining(pairs, len(files))
            is_complete = False
    if not is_complete:
        pairs = _joining(pairs, len(files))
    return tuple((files[i], files[j]) for i, j in pairs.T.tolist())


def _joining(pairs: Pairs, n_pictures: int) -> Pairs:
    """Of (2, N) pairs, fewer that join the same pictures, sorted."""
    from scipy.sparse import coo_array  # takes long to load, and most sets do not need it
    from scipy.sparse.csgraph import minimum_spanning_tree

    narrow = pairs.astype(np.int32)  # the search for a tree reads no wider numbers in every SciPy
    graph = coo_array((np.ones(narrow.shape[1]), tuple(narrow)), shape=(n_pictures, n_pictures))
    tree = minimum_spanning_tree(graph.tocsr()).tocoo()
    ends = np.sort(np.stack([tree.row, tree.col]).astype(np.intp), axis=0)
    return ends[:, np.lexsort((ends[1], ends[0]))]
