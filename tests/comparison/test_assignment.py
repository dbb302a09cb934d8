from __future__ import annotations

import itertools

import numpy as np
import pytest

from auditor.comparison.assignment import assign


def test_each_takes_the_candidate_that_is_likelier_it_than_another():
    # The first candidate is the likeliest for both, but the second planned has no other.
    assert assign(np.array([[0.9, 0.8], [0.9, 0.0]]), 0.01) == (1, 0)


def test_nothing_is_assigned_where_no_candidate_is_as_likely():
    assert assign(np.array([[0.02, 0.9], [0.01, 0.05]]), 0.04) == (1, None)


@pytest.mark.parametrize("n_planned", [2, 3, 4])
@pytest.mark.parametrize("n_found", [1, 2, 3, 4])
def test_of_equally_likely_assignments_the_earlier_come_first(n_planned, n_found):
    first = tuple(i if i < n_found else None for i in range(n_planned))
    assert assign(np.full((n_planned, n_found), 0.9), 0.01) == first


@pytest.mark.parametrize("n_planned", [0, 1, 3])
def test_nothing_found(n_planned):
    assert assign(np.zeros((n_planned, 0)), 0.1) == (None,) * n_planned


def test_likeliest_of_all_assignments_by_trying_every_one():
    random = np.random.default_rng(7)
    for _ in range(30):
        n_planned, n_found = (int(n) for n in random.integers(1, 5, 2))
        weights = random.random((n_planned, n_found))

        def product(given, weights=weights):
            return np.prod([0.2 if at is None else weights[i, at] for i, at in enumerate(given)])

        best = assign(weights, 0.2)
        slots = [*range(n_found), *[None] * n_planned]
        likeliest = max(product(each) for each in itertools.permutations(slots, n_planned))
        assert product(best) == pytest.approx(likeliest)
