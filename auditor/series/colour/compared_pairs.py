"""Which pictures of a set are compared with each other, and what each comparison finds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colour_signature.signature import ColourSignature
from auditor.series.colour.pairwise_shift import Spectrum, compare, spectrum

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

MAX_PARTNERS = 8  # compared with each picture of a large set; two are enough to tie a picture
ALL_PAIRS_UP_TO = 32  # pictures; in a larger set partners are chosen by the moduli of their spectra
PICTURES_AT_ONCE = 1024  # whose moduli are multiplied at once: bounds the memory of a large set


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
    spectra = [spectrum(signature) for signature in signatures]
    if n <= ALL_PAIRS_UP_TO:
        first, second = np.triu_indices(n, k=1)
    else:
        first, second = _most_similar(spectra)
    found = [
        compare(spectra[i], spectra[j])
        for i, j in zip(first.tolist(), second.tolist(), strict=True)
    ]
    return ComparedPairs(
        n,
        first,
        second,
        np.array([one.warmer for one in found], dtype=np.float64),
        np.array([one.brighter_ev for one in found], dtype=np.float64),
        np.array([one.similarity for one in found], dtype=np.float64),
    )


def _most_similar(spectra: Sequence[Spectrum]) -> tuple[Places, Places]:
    """Each picture of a set with the `MAX_PARTNERS` pictures whose spectra have the nearest moduli.

    The modulus of a spectrum stays the same when all colours move along the locus: pictures of one
    table are similar whatever their white balance.
    """
    n = len(spectra)
    similarity = np.empty((n, n), dtype=np.float32)
    for start in range(0, n, PICTURES_AT_ONCE):
        rows = slice(start, start + PICTURES_AT_ONCE)
        own = _moduli(spectra[rows])
        for other in range(start, n, PICTURES_AT_ONCE):
            columns = slice(other, other + PICTURES_AT_ONCE)
            product = own @ (own if other == start else _moduli(spectra[columns])).T
            similarity[rows, columns] = product
            similarity[columns, rows] = product.T
    np.fill_diagonal(similarity, -1.0)
    is_pair = _largest_in_rows(similarity, MAX_PARTNERS)
    first, second = np.nonzero(np.triu(is_pair | is_pair.T, k=1))
    return first, second


def _largest_in_rows(values: NDArray[np.float32], n_largest: int) -> NDArray[np.bool_]:
    """Where the largest values of each row are; of equal values the first ones."""
    chosen = np.zeros(values.shape, dtype=np.bool_)
    for row, is_chosen in zip(values, chosen, strict=True):
        least = np.partition(row, -n_largest)[-n_largest]
        is_chosen[:] = row > least
        equal = np.flatnonzero(row == least)
        is_chosen[equal[: n_largest - np.count_nonzero(is_chosen)]] = True
    return chosen


def _moduli(spectra: Sequence[Spectrum]) -> NDArray[np.float32]:
    """Moduli (n, frequencies) of spectra, each of length 1."""
    moduli = np.empty((len(spectra), spectra[0].size), dtype=np.float32)
    for row, one in zip(moduli, spectra, strict=True):
        modulus = np.abs(one).ravel()
        row[:] = modulus / max(np.sqrt(np.square(modulus).sum()), np.finfo(np.float32).tiny)
    return moduli
