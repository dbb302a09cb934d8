"""Which pictures of a set are compared with each other."""

import numpy as np
import pytest

from auditor.colour_signature import ColourSignature
from auditor.colour_signature.signature import SHAPE
from auditor.series.colour import compared_pairs, partners
from auditor.series.colour.compared_pairs import (
    ALL_PAIRS_UP_TO,
    ComparedPairs,
    compare_pictures,
)
from auditor.series.colour.pairwise_shift import spectrum
from auditor.series.colour.partners import MAX_PARTNERS


def drawn_signatures(n, n_tables=5):
    """Colours of pictures of a few tables, each with noise and a white balance of its own."""
    rng = np.random.default_rng(n)
    size = int(np.prod(SHAPE))
    tables = [np.sort(rng.choice(size, 60, replace=False)) for _ in range(n_tables)]
    found = []
    for place in range(n):
        bins = np.unique(np.clip(tables[place % n_tables] + rng.integers(-6, 7), 0, size - 1))
        weights = rng.integers(5, 40, bins.size)
        found.append(ColourSignature.of(bins, weights))
    return found


def test_all_pairs_of_a_small_set_are_compared():
    pairs = compare_pictures(drawn_signatures(7))
    assert len(pairs.first) == 7 * 6 // 2
    assert (pairs.first < pairs.second).all()


@pytest.mark.parametrize("at_once", [7, 1000])
def test_of_a_large_set_each_picture_has_the_partners_with_the_nearest_moduli(monkeypatch, at_once):
    monkeypatch.setattr(partners, "ROWS_AT_ONCE", at_once)
    n = ALL_PAIRS_UP_TO + 9
    signatures = drawn_signatures(n)
    moduli = np.array([np.abs(spectrum(one)).ravel() for one in signatures], dtype=float)
    moduli /= np.linalg.norm(moduli, axis=1, keepdims=True)
    similarity = moduli @ moduli.T
    np.fill_diagonal(similarity, -1)
    nearest = np.argsort(-similarity, axis=1)[:, :MAX_PARTNERS]
    expected = {tuple(sorted((i, int(j)))) for i in range(n) for j in nearest[i]}
    pairs = compare_pictures(signatures)
    assert set(zip(pairs.first.tolist(), pairs.second.tolist(), strict=True)) == expected


def test_the_second_best_similarity_of_each_picture():
    first, second = np.array([0, 0, 1, 2]), np.array([1, 2, 2, 3])
    similarity = np.array([0.9, 0.7, 0.8, 0.5])
    pairs = ComparedPairs(5, first, second, np.zeros(4), np.zeros(4), similarity)
    assert pairs.second_best_similarity().tolist() == [0.7, 0.8, 0.7, 0, 0]
    two = ComparedPairs(2, first[:1], second[:1], np.zeros(1), np.zeros(1), similarity[:1])
    assert two.second_best_similarity().tolist() == [0.9, 0.9]


def test_in_a_very_large_set_the_partners_are_of_the_same_table(monkeypatch):
    monkeypatch.setattr(partners, "EXACT_UP_TO", 40)
    monkeypatch.setattr(partners, "MOST_CANDIDATES", 48)
    monkeypatch.setattr(partners, "ROWS_AT_ONCE", 16)
    monkeypatch.setattr(compared_pairs, "SPECTRA_AT_ONCE", 9)
    pairs = compare_pictures(drawn_signatures(60))
    assert len(pairs.first) <= 60 * MAX_PARTNERS
    same = (pairs.first % 5 == pairs.second % 5).mean()
    assert same > 0.5  # a fifth, if they were chosen by chance
