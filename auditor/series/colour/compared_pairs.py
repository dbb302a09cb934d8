"""Which pictures of a set are compared with each other, and what each comparison finds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from auditor.colour_signature.signature import ColourSignature
from auditor.series.colour.pairwise_shift import Comparison, Spectrum, compare, spectrum
from auditor.series.colour.partners import choose_partners

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

ALL_PAIRS_UP_TO = 32  # pictures; in a larger set each is compared with its partners
SPECTRA_AT_ONCE = 256  # held at a time, 0.4 MB each: bounds the memory of a large set

PAIRS_REMEMBERED = 1 << 15  # those of a set of 4,000 pictures, three numbers each


@dataclass(frozen=True, slots=True)
class ComparedPairs:
    """Pairs of pictures of a set.

    Attributes
    ----------
    n_pictures : int
        Of the whole set.
    first, second : (N,) int array
        Places of the pictures in the set, the first before the second.
    warmer : (N,) float array
        How much warmer the second picture is, along the plane of neutrals.
    brighter_ev : (N,) float array
        How much brighter it is.
    similarity : (N,) float array
        In [0, 1].
    """

    n_pictures: int
    first: Places
    second: Places
    warmer: Floats
    brighter_ev: Floats
    similarity: Floats

    def chosen(self, which: NDArray[np.bool_]) -> ComparedPairs:
        """Some of the pairs, of the same set."""
        return ComparedPairs(
            self.n_pictures,
            self.first[which],
            self.second[which],
            self.warmer[which],
            self.brighter_ev[which],
            self.similarity[which],
        )

    def second_best_similarity(self) -> Floats:
        """For each picture its second largest similarity; in a set of two the only one.

        0 for a picture with fewer partners.
        """
        rank = 1 if self.n_pictures > 2 else 0
        picture = np.concatenate([self.first, self.second])
        similarity = np.concatenate([self.similarity, self.similarity])
        order = np.lexsort((-similarity, picture))
        n_partners = np.bincount(picture, minlength=self.n_pictures)
        place = np.cumsum(n_partners) - n_partners + rank
        found = np.zeros(self.n_pictures)
        has_enough = n_partners > rank
        found[has_enough] = similarity[order][place[has_enough]]
        return found


def compare_pictures(signatures: Sequence[ColourSignature]) -> ComparedPairs:
    """Compare all pairs of a small set; of a large one each picture with the most similar ones."""
    n = len(signatures)

    def spectrum_of(place: int) -> Spectrum:
        return _spectrum(signatures[place])

    if n <= ALL_PAIRS_UP_TO:
        first, second = np.triu_indices(n, k=1)
    else:
        first, second = choose_partners(signatures, spectrum_of)
    found = np.empty((len(first), 3))
    for pair in _neighbours_together(n, first, second).tolist():
        one = _compared(signatures[int(first[pair])], signatures[int(second[pair])])
        found[pair] = one.warmer, one.brighter_ev, one.similarity
    return ComparedPairs(n, first, second, *found.T)


def forget_compared() -> None:
    """Give back the memory of what was remembered of the pictures of a set."""
    _spectrum.cache_clear()
    _compared.cache_clear()


# A set is compared once more with each round of tried corrections, most of its pictures unchanged.
@lru_cache(maxsize=SPECTRA_AT_ONCE)
def _spectrum(signature: ColourSignature) -> Spectrum:
    return spectrum(signature)


@lru_cache(maxsize=PAIRS_REMEMBERED)
def _compared(first: ColourSignature, second: ColourSignature) -> Comparison:
    return compare(_spectrum(first), _spectrum(second))


def _neighbours_together(n: int, first: Places, second: Places) -> Places:
    """An order of the pairs in which those of one picture are near each other.

    Partners of one picture are mostly partners of each other. So few spectra have to be computed
    again after others took their places.
    """
    if n <= SPECTRA_AT_ONCE:
        return np.arange(len(first))
    from scipy.sparse import coo_array  # takes long to load, and most sets do not need it
    from scipy.sparse.csgraph import reverse_cuthill_mckee

    graph = coo_array((np.ones(len(first), dtype=np.int8), (first, second)), shape=(n, n)).tocsr()
    place = np.empty(n, dtype=np.intp)
    place[reverse_cuthill_mckee(graph + graph.T, symmetric_mode=True)] = np.arange(n)
    earlier, later = (
        np.minimum(place[first], place[second]),
        np.maximum(place[first], place[second]),
    )
    return np.lexsort((earlier, later))
