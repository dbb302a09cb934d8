"""Smoothing by products of matrices, against SciPy's filter."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from auditor.series.colour.smoothing import smooth


@pytest.mark.parametrize(
    "modes",
    [("constant",) * 3, ("reflect",) * 3, ("constant", "wrap", "constant")],
)
@pytest.mark.parametrize("filled", [0.0, 0.02, 1.0])
def test_it_is_scipys_gaussian_filter(modes, filled):
    rng = np.random.default_rng(3)
    histogram = rng.integers(0, 30, (13, 24, 48)) * (rng.random((13, 24, 48)) < filled).astype(
        float
    )
    sigmas = (1.0, 0.8, 1.5)
    expected = gaussian_filter(histogram, sigmas, mode=list(modes))
    assert smooth(histogram, sigmas, modes) == pytest.approx(expected, rel=1e-9, abs=1e-12)
