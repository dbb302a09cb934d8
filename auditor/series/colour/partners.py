"""With which pictures of a large set each picture is compared: those of the most similar colours.

The modulus of a spectrum stays the same when all colours move along the locus: pictures of one
table are similar whatever their white balance. In a set of up to `EXACT_UP_TO` pictures the moduli
of the whole spectra are compared. In a larger one a short description of each picture is: the
moduli of a coarser histogram, at the frequencies that say most.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.fft import next_fast_len, rfftn

from auditor.colour_signature.signature import (
    N_DUV_BINS,
    N_STEPS_EV,
    N_WARMTH_BINS,
    SHAPE,
    ColourSignature,
)
from auditor.series.colour.pairwise_shift import SMOOTHING_BINS, Spectrum
from auditor.series.colour.smoothing import smooth

Places = NDArray[np.intp]
Vectors = NDArray[np.float32]

MAX_PARTNERS = 8  # compared with each picture of a large set; two are enough to tie a picture
EXACT_UP_TO = 256  # pictures: bounds the memory of a large set

# The coarser histogram. With these numbers 88 of 100 partners of 167 photographs of dishes are
# those by the whole spectra, and the two nearest always are among the eight.
DUV_BINS_AS_ONE, WARMTH_BINS_AS_ONE = 2, 4
N_FREQUENCIES = 1024
SAMPLED = 256  # pictures from which the frequencies are chosen

ROWS_AT_ONCE = 512  # of the table of similarities: bounds the memory
# Of a larger set each picture is looked for among so many pictures around it, in the order of what
# their descriptions differ in most: bounds the time, which would grow with the square.
MOST_CANDIDATES = 6144
N_POWER_STEPS = 10  # towards that direction; only an order is needed


@dataclass(frozen=True, slots=True)
class Partners:
    """With which pictures of a set each is compared.

    Attributes
    ----------
    nearest : (N, partners) int array
        Places of the most similar pictures of each.
    vectors : (N, frequencies) float32 array or None
        A short description of each picture, of length 1; None in a set of up to `EXACT_UP_TO`.
    frequencies : (frequencies,) int array or None
        Those that the description has.
    """

    nearest: Places
    vectors: Vectors | None = None
    frequencies: Places | None = None

    def pairs(self) -> tuple[Places, Places]:
        """Places of each pair, each once, rising."""
        n, n_partners = self.nearest.shape
        own, other = np.repeat(np.arange(n), n_partners), self.nearest.ravel()
        first, second = np.divmod(np.unique(np.minimum(own, other) * n + np.maximum(own, other)), n)
        return first, second


def choose_partners(
    signatures: Sequence[ColourSignature], spectrum_of: Callable[[int], Spectrum]
) -> Partners:
    """The `MAX_PARTNERS` most similar pictures of each."""
    if len(signatures) <= EXACT_UP_TO:
        moduli = np.stack([_length_one(np.abs(spectrum_of(i))) for i in range(len(signatures))])
        return Partners(_nearest(moduli, np.arange(len(signatures))))
    frequencies = _frequencies(signatures)
    vectors = _described(signatures, frequencies)
    return Partners(_nearest(vectors, np.arange(len(signatures))), vectors, frequencies)


def with_changed(
    partners: Partners, signatures: Sequence[ColourSignature], changed: Places
) -> Partners:
    """The partners of a large set after some of its pictures were changed.

    A changed picture gets new partners; the others keep theirs.
    """
    if partners.vectors is None or partners.frequencies is None:
        raise ValueError("the partners of a small set are chosen anew")
    vectors, nearest = partners.vectors.copy(), partners.nearest.copy()
    vectors[changed] = _described([signatures[i] for i in changed], partners.frequencies)
    nearest[changed] = _nearest(vectors, changed)
    return Partners(nearest, vectors, partners.frequencies)


def _frequencies(signatures: Sequence[ColourSignature]) -> Places:
    """The frequencies that say most of a set."""
    n = len(signatures)
    sample = np.linspace(0, n - 1, min(n, SAMPLED)).astype(np.intp)
    energy = sum(np.square(_coarse_moduli(signatures[i])) for i in sample.tolist())
    chosen: Places = np.sort(np.argsort(-np.asarray(energy), kind="stable")[:N_FREQUENCIES])
    return chosen


def _described(signatures: Sequence[ColourSignature], frequencies: Places) -> Vectors:
    """A short description (N, frequencies) of each picture, of length 1."""
    described = np.empty((len(signatures), len(frequencies)), dtype=np.float32)
    for row, signature in zip(described, signatures, strict=True):
        row[:] = _length_one(_coarse_moduli(signature)[frequencies])
    return described


def _coarse_moduli(signature: ColourSignature) -> Vectors:
    shape = (N_STEPS_EV, N_DUV_BINS // DUV_BINS_AS_ONE, N_WARMTH_BINS // WARMTH_BINS_AS_ONE)
    bins, weights = signature.counts()
    step, duv, warmth = np.unravel_index(bins, SHAPE)
    place = np.ravel_multi_index(
        (step, duv // DUV_BINS_AS_ONE, warmth // WARMTH_BINS_AS_ONE), shape
    )
    relative = weights / max(float(weights.sum()), 1.0)
    coarse = np.bincount(place, relative, int(np.prod(shape))).astype(np.float32).reshape(shape)
    steps, duv_bins, warmth_bins = SMOOTHING_BINS
    sigmas = (steps, duv_bins / DUV_BINS_AS_ONE, warmth_bins / WARMTH_BINS_AS_ONE)
    smoothed = smooth(coarse, sigmas, ("reflect",) * 3)
    padded = [next_fast_len(size + 1, real=True) for size in shape]
    moduli: Vectors = np.abs(rfftn(np.sqrt(smoothed), padded)).ravel()
    return moduli


def _length_one(values: NDArray[np.floating]) -> Vectors:
    flat = values.astype(np.float32, copy=False).ravel()
    length = np.sqrt(np.square(flat).sum())
    scaled: Vectors = flat / max(length, np.finfo(np.float32).tiny)
    return scaled


def _nearest(vectors: Vectors, asked: Places) -> Places:
    """Of each vector asked for, places (partners,) of those with the largest product with it.

    Of equals the first. In blocks of rows, so that there is never a table of all pairs.
    """
    n = len(vectors)
    is_asked = np.zeros(n, dtype=np.bool_)
    is_asked[asked] = True
    n_partners = min(MAX_PARTNERS, n - 1)
    order = np.arange(n) if n <= MOST_CANDIDATES else np.argsort(_spread(vectors), kind="stable")
    ordered = vectors[order]
    nearest = np.empty((n, n_partners), dtype=np.intp)
    for start in range(0, n, ROWS_AT_ONCE):
        block = order[start : start + ROWS_AT_ONCE]
        is_row = is_asked[block]
        if not is_row.any():
            continue
        rows = block[is_row]
        begin = min(
            max(0, start + (len(block) - MOST_CANDIDATES) // 2), max(0, n - MOST_CANDIDATES)
        )
        columns = np.sort(order[begin : begin + MOST_CANDIDATES])
        similarity = ordered[start : start + ROWS_AT_ONCE][is_row] @ vectors[columns].T
        similarity[np.arange(len(rows)), np.searchsorted(columns, rows)] = -1.0
        for row, own in zip(rows.tolist(), similarity, strict=True):
            nearest[row] = columns[_largest(own, n_partners)]
    return nearest[asked]


def _largest(values: Vectors, n_largest: int) -> Places:
    """Places of the largest values; of equal values the first ones."""
    least = np.partition(values, -n_largest)[-n_largest]
    larger = np.flatnonzero(values > least)
    equal = np.flatnonzero(values == least)
    return np.concatenate([larger, equal[: n_largest - len(larger)]])


def _spread(vectors: Vectors) -> NDArray[np.float32]:
    """Place (N,) of each vector along what they differ in most: their first principal component."""
    middle = vectors.mean(axis=0)
    direction = vectors[0] - middle
    for _ in range(N_POWER_STEPS):
        direction = _length_one(((vectors @ direction) - middle @ direction) @ vectors)
    along: NDArray[np.float32] = vectors @ direction
    return along
