"""Optimal transport between palettes: by hand, by SciPy in one dimension, by its axioms."""

import numpy as np
import pytest
from scipy.stats import wasserstein_distance

from auditor.colorimetry import colour_difference, lab_from_hex
from auditor.series.colour.palette_distance import (
    palette_distance,
    palette_distances,
    transport_costs,
)
from tests.factories import swatch


def some_palette(rng, n):
    shares = rng.dirichlet(np.ones(n))
    hexes = ["#{:02x}{:02x}{:02x}".format(*rng.integers(0, 256, 3)) for _ in range(n)]
    return [swatch(colour, float(share)) for colour, share in zip(hexes, shares, strict=True)]


def test_a_transport_solved_by_hand():
    # There 0.5, 0.3, 0.2; wanted 0.6, 0.4. Cheapest: all of the first stays (0.5 at 1), the third
    # gives 0.1 to the first (at 3) and 0.1 to the second (at 1), the second gives 0.3 at 2.
    there, wanted = np.array([0.5, 0.3, 0.2]), np.array([0.6, 0.4])
    cost = np.array([[1.0, 6.0], [5.0, 2.0], [3.0, 1.0]])
    by_hand = 0.5 * 1 + 0.1 * 3 + 0.1 * 1 + 0.3 * 2
    assert transport_costs([(there, wanted)], [cost])[0] == pytest.approx(by_hand, abs=1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_in_one_dimension_it_is_scipys_wasserstein_distance(seed):
    rng = np.random.default_rng(seed)
    problems = []
    for n, m in ((3, 5), (6, 6), (1, 4)):
        at, to = rng.uniform(0, 100, n), rng.uniform(0, 100, m)
        problems.append((at, to, rng.dirichlet(np.ones(n)), rng.dirichlet(np.ones(m))))
    found = transport_costs(
        [(there, wanted) for _, _, there, wanted in problems],
        [np.abs(at[:, np.newaxis] - to) for at, to, _, _ in problems],
    )
    expected = [wasserstein_distance(at, to, p, q) for at, to, p, q in problems]
    assert found == pytest.approx(expected, abs=1e-6)


def test_a_part_that_changes_colour_costs_its_share_times_its_difference():
    table, orange, blue = "#d8d2c4", "#e08a1e", "#1e6fe0"
    first = [swatch(table, 0.92), swatch(orange, 0.08)]
    second = [swatch(table, 0.92), swatch(blue, 0.08)]
    apart = colour_difference(lab_from_hex(orange), lab_from_hex(blue))
    assert palette_distance(first, second) == pytest.approx(0.08 * apart, rel=1e-6)


@pytest.mark.parametrize("seed", range(5))
def test_equal_palettes_are_at_no_distance_and_order_does_not_matter(seed):
    rng = np.random.default_rng(seed)
    first, second = some_palette(rng, 5), some_palette(rng, 3)
    assert palette_distance(first, first) == pytest.approx(0, abs=1e-9)
    assert palette_distance(first, first[::-1]) == pytest.approx(0, abs=1e-9)
    both_ways = palette_distance(first, second), palette_distance(second, first)
    assert both_ways[0] == pytest.approx(both_ways[1], rel=1e-6)


def test_many_pairs_cost_what_each_costs_alone():
    rng = np.random.default_rng(9)
    pairs = [(some_palette(rng, 1 + i % 6), some_palette(rng, 1 + i % 4)) for i in range(300)]
    together = palette_distances(pairs)
    alone = [palette_distance(*pair) for pair in pairs[::29]]
    assert together[::29] == pytest.approx(alone, abs=1e-6)


def test_shares_are_relative_to_the_palettes_sum():
    whole = [swatch("#d8d2c4", 0.6), swatch("#e08a1e", 0.4)]
    part = [swatch("#d8d2c4", 0.3), swatch("#e08a1e", 0.2)]
    assert palette_distance(whole, part) == pytest.approx(0, abs=1e-9)


def test_a_palette_without_colours_has_no_distance():
    with pytest.raises(ValueError, match="without a colour"):
        palette_distance([], [swatch("#ffffff", 1.0)])
