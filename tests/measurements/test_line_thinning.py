"""A line with fewer points, held against scikit-image's function of the same method."""

import numpy as np
import pytest
from skimage.measure import approximate_polygon

from auditor.measurements.negative_space.thinning import thinned


@pytest.mark.parametrize("tolerance", [0.0, 0.5, 1.0, 3.0])
@pytest.mark.parametrize("seed", range(6))
def test_it_keeps_the_points_that_scikit_image_keeps(seed, tolerance):
    steps = np.random.default_rng(seed).normal(0, 1, (200, 2))
    line = steps.cumsum(axis=0)
    assert np.array_equal(thinned(line, tolerance), approximate_polygon(line, tolerance))


def test_a_straight_line_has_two_points():
    line = np.stack([np.arange(50.0), 2 * np.arange(50.0)], axis=1)
    assert thinned(line, 0.01).tolist() == [[0.0, 0.0], [49.0, 98.0]]
