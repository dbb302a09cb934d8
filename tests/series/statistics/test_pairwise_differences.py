"""Order statistics of pairwise differences, against all pairs sorted."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.distance import pdist

from auditor.series.statistics.pairwise_differences import kth_smallest_difference


def all_differences(values):
    return np.sort(pdist(np.asarray(values, dtype=float)[:, np.newaxis]))


@given(
    # Few different values, so that many differences are equal.
    st.lists(st.integers(-3, 3) | st.floats(-1e6, 1e6), min_size=2, max_size=40),
    st.floats(0, 1),
)
def test_every_rank_is_that_of_all_pairs_sorted(values, part):
    differences = all_differences(values)
    k = 1 + round(part * (differences.size - 1))
    found = kth_smallest_difference(np.array(values, dtype=float), k)
    assert found == pytest.approx(differences[k - 1], rel=1e-15)


@pytest.mark.parametrize("n", [2, 3, 61, 400])
@pytest.mark.parametrize("spread", ["normal", "wide", "rounded", "equal"])
def test_the_quartile_of_many_values(n, spread):
    rng = np.random.default_rng(n)
    values = {
        "normal": rng.normal(150, 12, n),
        "wide": np.exp(rng.normal(0, 5, n)),
        "rounded": np.round(rng.normal(0, 1, n), 1),
        "equal": np.full(n, 7.0),
    }[spread]
    differences = all_differences(values)
    for k in (1, max(1, differences.size // 4), differences.size):
        assert kth_smallest_difference(values, k) == pytest.approx(differences[k - 1], rel=1e-15)
