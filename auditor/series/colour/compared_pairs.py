"""Which pictures of a set are compared with each other, and what each comparison finds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from auditor.colour_signature.signature import ColourSignature
from auditor.progress_calls import Progress, silent
from auditor.series.colour.pairwise_shift import Spectrum, compare, spectrum
from auditor.series.colour.partners import Partners, choose_partners, with_changed

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

ALL_PAIRS_UP_TO = 32  # pictures; in a larger set each is compared with its partners
PAIRS_AT_ONCE = 128  # after which progress is told
SPECTRA_AT_ONCE = 256  # held at a time, 0.4 MB each: bounds the memory of a large set


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


@dataclass(frozen=True, slots=True)
class ComparedSet:
    """The comparisons of a set, for comparing it again with some of its pictures changed.

    Attributes
    ----------
    signatures : sequence of ColourSignature
    partners : Partners or None
        None where all pairs are compared.
    pairs : ComparedPairs
    """

    signatures: Sequence[ColourSignature]
    partners: Partners | None
    pairs: ComparedPairs

    def changed_in(self, signatures: Sequence[ColourSignature]) -> Places:
        """Places of the pictures that are others in the same set now."""
        both = zip(self.signatures, signatures, strict=True)
        return np.flatnonzero([before != now for before, now in both])


def compare_pictures(signatures: Sequence[ColourSignature]) -> ComparedPairs:
    """Compare all pairs of a small set; of a large one each picture with the most similar ones."""
    return compare_set(signatures).pairs


def compare_set(
    signatures: Sequence[ColourSignature],
    earlier: ComparedSet | None = None,
    progress: Progress = silent,
) -> ComparedSet:
    """`compare_pictures`, with what it takes to do it again when some pictures were changed.

    Parameters
    ----------
    signatures : sequence of ColourSignature
    earlier : ComparedSet or None
        Of the same set before some pictures were changed: pairs without a changed picture are not
        compared again. In a set of more than `partners.EXACT_UP_TO` pictures those that are not
        changed also keep their partners.
    progress : callable
    """
    n = len(signatures)

    @lru_cache(maxsize=SPECTRA_AT_ONCE)
    def spectrum_of(place: int) -> Spectrum:
        return spectrum(signatures[place])

    changed = np.arange(n) if earlier is None else earlier.changed_in(signatures)
    partners = None if earlier is None else earlier.partners
    if n <= ALL_PAIRS_UP_TO:
        first, second = np.triu_indices(n, k=1)
    else:
        if partners is None or partners.vectors is None:
            partners = choose_partners(signatures, spectrum_of)
        else:
            partners = with_changed(partners, signatures, changed)
        first, second = partners.pairs()
    found = np.full((len(first), 3), np.nan)
    if earlier is not None:
        _take_over(earlier.pairs, changed, first, second, found)
    for n_done, pair in enumerate(_neighbours_together(n, first, second).tolist()):
        if n_done % PAIRS_AT_ONCE == 0:
            progress(n_done, len(first), "")
        if np.isnan(found[pair, 0]):
            one = compare(spectrum_of(int(first[pair])), spectrum_of(int(second[pair])))
            found[pair] = one.warmer, one.brighter_ev, one.similarity
    return ComparedSet(signatures, partners, ComparedPairs(n, first, second, *found.T))


def _take_over(
    earlier: ComparedPairs, changed: Places, first: Places, second: Places, found: Floats
) -> None:
    """Put into `found` (N, 3) what is known of the pairs of which no picture was changed."""
    n = earlier.n_pictures
    is_same = np.ones(n, dtype=np.bool_)
    is_same[changed] = False
    known = earlier.first * n + earlier.second  # rising
    wanted = first * n + second
    place = np.minimum(np.searchsorted(known, wanted), max(0, len(known) - 1))
    taken = np.flatnonzero(is_same[first] & is_same[second] & (known[place] == wanted))
    own = place[taken]
    values = (earlier.warmer[own], earlier.brighter_ev[own], earlier.similarity[own])
    found[taken] = np.stack(values, axis=1)


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
