"""The networks that estimate the neutral: layers against SciPy, their input on drawings."""

import subprocess
import sys

import numpy as np
import pytest
from scipy.signal import correlate2d
from skimage.measure import block_reduce

from auditor.colorimetry import shift_mired, srgb_from_linear
from auditor.colour_signature import cells_of
from auditor.colour_signature.neutral_plane import plane_from_linear
from auditor.measurements.colour_temperature.colour_histograms import (
    DUV_BIN,
    N_DUV_BINS,
    N_KINDS,
    N_WARMTH_BINS,
    WARMTH_BIN_MIRED,
    colour_histograms,
)
from auditor.measurements.colour_temperature.layers import convolve_3x3, max_pool_2x2
from auditor.measurements.colour_temperature.neutral_network import estimate_neutral

NOTHING = np.zeros((4, 4), dtype=bool)
GREY = np.array([0.3, 0.3, 0.3])
ORANGE = np.array([0.5, 0.2, 0.05])


def cells(*colours, side=96):
    """Cells of vertical stripes of linear colours, without grain."""
    width = side // len(colours)
    stripes = [np.broadcast_to(colour, (side, width, 3)) for colour in colours]
    encoded = srgb_from_linear(np.clip(np.concatenate(stripes, axis=1), 0, 1))
    return cells_of(np.rint(255 * encoded).astype(np.uint8), NOTHING)


def bins(linear):
    """Row and column of a colour in the histograms, not rounded."""
    warmth, duv = plane_from_linear(np.asarray(linear, dtype=float))
    return warmth / WARMTH_BIN_MIRED + N_WARMTH_BINS / 2, duv / DUV_BIN + N_DUV_BINS / 2


def test_each_cell_is_counted_once_at_its_colour():
    found = colour_histograms(cells(GREY, ORANGE))
    counts = found[:5].sum(axis=0)
    assert counts.sum() == pytest.approx(1, abs=1e-6)
    for colour in (GREY, ORANGE):
        row, column = (int(place) for place in bins(colour))
        assert counts[row - 1 : row + 3, column - 1 : column + 3].sum() == pytest.approx(
            0.5, abs=0.02
        )


def test_light_and_dark_are_counted_separately():
    found = colour_histograms(cells(GREY, GREY / 4, GREY / 16)).sum(axis=(1, 2))
    assert found[:5] == pytest.approx([1 / 3, 1 / 3, 0, 0, 1 / 3], abs=0.02)


def test_gloss_has_the_colour_of_the_illuminant():
    # Shafer 1985: a highlight adds the colour of the illuminant to that of the thing.
    light = shift_mired(np.full(3, 0.3), 40)
    stripes = (ORANGE * 0.5, ORANGE * 0.5 + light)
    large = colour_histograms(cells(*stripes))[6]
    row, column = np.unravel_index(int(large.argmax()), large.shape)
    assert (row, column) == pytest.approx(bins(light), abs=1)


def test_a_cast_shifts_every_histogram_by_its_amount():
    before = colour_histograms(cells(GREY * 0.9, ORANGE * 0.4, GREY * 0.2))
    after = colour_histograms(
        cells(*(shift_mired(c, 32) for c in (GREY * 0.9, ORANGE * 0.4, GREY * 0.2)))
    )
    rows = np.arange(N_WARMTH_BINS)
    for kind in (before.sum(axis=(1, 2)) > 0.01).nonzero()[0]:
        means = [float((h[kind].sum(axis=1) @ rows) / h[kind].sum()) for h in (before, after)]
        assert means[1] - means[0] == pytest.approx(32 / WARMTH_BIN_MIRED, abs=0.4)


def test_a_margin_adds_bins_and_shifts_nothing():
    plain = colour_histograms(cells(GREY, ORANGE))
    wide = colour_histograms(cells(GREY, ORANGE), margin=(3, 2))
    assert wide.shape == (N_KINDS, N_WARMTH_BINS + 6, N_DUV_BINS + 4)
    assert np.array_equal(wide[:, 4:-4, 3:-3], plain[:, 1:-1, 1:-1])


def test_convolution_agrees_with_scipy():
    rng = np.random.default_rng(4)
    maps, kernel = rng.normal(size=(12, 10, 5)), rng.normal(size=(3, 3, 5, 4))
    expected = [
        sum(correlate2d(maps[..., i], kernel[:, :, i, n], mode="same") for i in range(5)) + n
        for n in range(4)
    ]
    flat = kernel.reshape(45, 4).astype(np.float32)
    found = convolve_3x3(maps.astype(np.float32), flat, np.arange(4, dtype=np.float32))
    assert found == pytest.approx(np.stack(expected, axis=-1), abs=1e-4)


def test_max_pooling_agrees_with_scikit_image():
    maps = np.random.default_rng(5).normal(size=(8, 6, 3)).astype(np.float32)
    assert np.array_equal(max_pool_2x2(maps), block_reduce(maps, (2, 2, 1), np.max))


def test_probabilities_sum_to_one_and_grow_with_the_distance():
    estimate = estimate_neutral(colour_histograms(cells(GREY, ORANGE, GREY / 3)))
    assert estimate.warmth_probability.sum() == pytest.approx(1)
    near, middle, far = (estimate.probability_within(mired) for mired in (5, 15, 60))
    assert 0 < near < middle < far <= 1
    assert estimate.probability_within(1e4) == pytest.approx(1)


def test_measuring_imports_neither_torch_nor_the_training():
    code = (
        "import sys, auditor.measurements.measured_photograph;"
        "print([name for name in sys.modules if name == 'torch' or '.training' in name])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert done.stdout.strip() == "[]"
