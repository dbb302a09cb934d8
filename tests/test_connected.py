import numpy as np
import pytest
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from auditor.connected import connected_groups


def test_things_are_grouped_through_others():
    groups = connected_groups(6, np.array([4, 1, 3]), np.array([1, 0, 5]))
    assert groups.tolist() == [0, 0, 1, 2, 0, 2]


@pytest.mark.parametrize("n", [0, 1, 5])
def test_without_links_each_thing_is_its_own_group(n):
    none = np.array([], dtype=np.intp)
    assert connected_groups(n, none, none).tolist() == list(range(n))


@pytest.mark.parametrize("links_per_thing", [0.2, 0.5, 0.7, 2])
def test_groups_are_those_of_scipy(links_per_thing):
    rng = np.random.default_rng(3)
    for n in (2, 10, 300, 5_000):
        first, second = rng.integers(0, n, (2, int(n * links_per_thing)))
        links = coo_matrix((np.ones(first.size, bool), (first, second)), shape=(n, n))
        expected = connected_components(links, directed=False)[1]
        assert connected_groups(n, first, second).tolist() == expected.tolist()


def test_long_chains_in_any_order_are_one_group():
    order = np.random.default_rng(5).permutation(20_000)
    assert not connected_groups(order.size, order[:-1], order[1:]).any()
    straight = np.arange(20_000)
    assert not connected_groups(straight.size, straight[1:], straight[:-1]).any()
