"""With which pictures of a large set each picture is compared: those of the most similar colours.

The modulus of a spectrum stays the same when all colours move along the locus: pictures of one
table are similar whatever their white balance. In a set of up to `EXACT_UP_TO` pictures the moduli
of the whole spectra are compared. In a larger one a short description of each picture is: the
moduli of a coarser histogram, at the frequencies that say most.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

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


def choose_partners(
    signatures: Sequence[ColourSignature], spectrum_of: Callable[[int], Spectrum]
) -> tuple[Places, Places]:
    """Each picture with its `MAX_PARTNERS` most similar ones: places of each pair, rising."""
    if len(signatures) <= EXACT_UP_TO:
        vectors = np.stack([_length_one(np.abs(spectrum_of(i))) for i in range(len(signatures))])
    else:
        vectors = _described(signatures)
    partners = _nearest(vectors)
    own = np.repeat(np.arange(len(signatures)), partners.shape[1])
    other = partners.ravel()
    pairs = np.unique(np.minimum(own, other) * len(signatures) + np.maximum(own, other))
    first, second = np.divmod(pairs, len(signatures))
    return first, second


def _described(signatures: Sequence[ColourSignature]) -> Vectors:
    """A short description (N, frequencies) of each picture, of length 1."""
    n = len(signatures)
    sample = np.linspace(0, n - 1, min(n, SAMPLED)).astype(np.intp)
    energy = sum(np.square(_coarse_moduli(signatures[i])) for i in sample.tolist())
    chosen = np.sort(np.argsort(-np.asarray(energy), kind="stable")[:N_FREQUENCIES])
    described = np.empty((n, len(chosen)), dtype=np.float32)
    for row, signature in zip(described, signatures, strict=True):
        row[:] = _length_one(_coarse_moduli(signature)[chosen])
    return described


def _coarse_moduli(signature: ColourSignature) -> Vectors:
    shape = (N_STEPS_EV, N_DUV_BINS // DUV_BINS_AS_ONE, N_WARMTH_BINS // WARMTH_BINS_AS_ONE)
    step, duv, warmth = np.unravel_index(signature.bins, SHAPE)
    place = np.ravel_multi_index(
        (step, duv // DUV_BINS_AS_ONE, warmth // WARMTH_BINS_AS_ONE), shape
    )
    weights = signature.weights / max(float(signature.weights.sum()), 1.0)
    coarse = np.bincount(place, weights, int(np.prod(shape))).astype(np.float32).reshape(shape)
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


def _nearest(vectors: Vectors) -> Places:
    """Places (N, partners) of the vectors with the largest product with each; of equals the first.

    In blocks of rows, so that there is never a table of all pairs.
    """
    n = len(vectors)
    n_partners = min(MAX_PARTNERS, n - 1)
    order = np.arange(n) if n <= MOST_CANDIDATES else np.argsort(_spread(vectors), kind="stable")
    ordered = vectors[order]
    nearest = np.empty((n, n_partners), dtype=np.intp)
    for start in range(0, n, ROWS_AT_ONCE):
        rows = order[start : start + ROWS_AT_ONCE]
        begin = min(max(0, start + (len(rows) - MOST_CANDIDATES) // 2), max(0, n - MOST_CANDIDATES))
        columns = np.sort(order[begin : begin + MOST_CANDIDATES])
        similarity = ordered[start : start + ROWS_AT_ONCE] @ vectors[columns].T
        similarity[np.arange(len(rows)), np.searchsorted(columns, rows)] = -1.0
        for row, own in zip(rows.tolist(), similarity, strict=True):
            nearest[row] = columns[_largest(own, n_partners)]
    return nearest


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
