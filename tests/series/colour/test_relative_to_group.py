"""Values of tied pictures relative to each other, against dense least squares."""

import numpy as np
import pytest

from auditor.series.colour.compared_pairs import ComparedPairs
from auditor.series.colour.relative_to_group import (
    N_REWEIGHTINGS,
    relative_to_group,
    tied_groups,
)
from auditor.series.colour.tied_pictures import STRAY_MIRED


def drawn_ties(rng, n, n_ties, stray_share=0.0):
    """Differences of known warmths with a little noise; some are wrong by far."""
    warmth = rng.normal(0, 20, n)
    pairs = np.array(
        sorted({tuple(sorted(rng.choice(n, 2, replace=False))) for _ in range(n_ties)})
    )
    first, second = pairs.T
    warmer = warmth[second] - warmth[first] + rng.normal(0, 0.5, len(pairs))
    warmer += rng.normal(0, 60, len(pairs)) * (rng.random(len(pairs)) < stray_share)
    return warmth, ComparedPairs(
        n, first, second, warmer, np.zeros(len(pairs)), rng.uniform(0.6, 1.0, len(pairs))
    )


def dense(ties, members):
    """The same least squares with full matrices, by `numpy.linalg.lstsq`."""
    n = ties.n_pictures
    warmer, similarity = np.zeros((n, n)), np.zeros((n, n))
    warmer[ties.first, ties.second], warmer[ties.second, ties.first] = ties.warmer, -ties.warmer
    similarity[ties.first, ties.second] = similarity[ties.second, ties.first] = ties.similarity
    warmer, similarity = (m[np.ix_(members, members)] for m in (warmer, similarity))
    position = np.zeros(len(members))
    for _ in range(N_REWEIGHTINGS):
        off = warmer - (position - position[:, np.newaxis])
        weight = similarity**2 / (1 + (off / STRAY_MIRED) ** 2)
        laplacian = np.diag(weight.sum(axis=1)) - weight
        position = np.linalg.lstsq(laplacian, -(weight * warmer).sum(axis=1), rcond=1e-9)[0]
    return position - np.median(position)


@pytest.mark.parametrize(("n", "n_ties"), [(2, 1), (12, 9), (40, 60), (120, 500)])
def test_sparse_and_dense_least_squares_agree(n, n_ties):
    _, ties = drawn_ties(np.random.default_rng(n), n, n_ties, stray_share=0.1)
    groups = tied_groups(ties)
    found = relative_to_group(ties, ties.warmer, groups, STRAY_MIRED)
    assert sorted(np.concatenate(groups).tolist()) == list(range(n))
    for members in groups:
        assert found[members] == pytest.approx(dense(ties, members), abs=1e-7)


def test_wrong_differences_hardly_count():
    warmth, ties = drawn_ties(np.random.default_rng(1), 40, 400, stray_share=0.15)
    (members,) = tied_groups(ties)
    found = relative_to_group(ties, ties.warmer, [members], STRAY_MIRED)
    assert found == pytest.approx(warmth - np.median(warmth), abs=2.0)


def test_pictures_without_a_tie_are_groups_of_their_own():
    nothing = np.zeros(0)
    none = ComparedPairs(3, nothing.astype(int), nothing.astype(int), nothing, nothing, nothing)
    groups = tied_groups(none)
    assert [members.tolist() for members in groups] == [[0], [1], [2]]
    assert relative_to_group(none, nothing, groups, STRAY_MIRED).tolist() == [0, 0, 0]
