"""CIEDE2000, held against two libraries that have it; published pairs are in the tests of sRGB."""

import warnings

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from auditor.colorimetry import ciede2000

LARGEST = np.array([100.0, 100.0, 100.0])


def pairs_of_colours(n=20_000, seed=7):
    """Far and near colours, greys, and colours of opposite hue."""
    rng = np.random.default_rng(seed)
    first = rng.uniform([0, -100, -100], LARGEST, (n, 3))
    second = rng.uniform([0, -100, -100], LARGEST, (n, 3))
    near = slice(0, n // 2)
    second[near] = first[near] + rng.normal(0, 3, first[near].shape)
    first[: n // 20, 1:] = 0
    second[n // 40 : n // 10, 1:] = 0
    opposite = slice(n // 2, n // 2 + n // 20)
    second[opposite, 1:] = -first[opposite, 1:] * rng.uniform(0.5, 2, (n // 20, 1))
    return first, second


@pytest.mark.parametrize("factor", [1.0, 2.0])
def test_differences_are_those_of_scikit_image(factor):
    first, second = pairs_of_colours()
    expected = deltaE_ciede2000(first, second, kL=factor)
    assert np.abs(ciede2000(first, second, lightness_factor=factor) - expected).max() < 1e-11


def test_differences_are_those_of_colour_science():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns of what is not installed beside it
        from colour.difference import delta_E_CIE2000

    first, second = pairs_of_colours()
    # Where two hues are opposite, rounding decides which way round is the shorter.
    hue = [np.arctan2(lab[:, 2], lab[:, 1]) for lab in (first, second)]
    apart = np.abs(np.abs(hue[0] - hue[1]) - np.pi) > 1e-2
    difference = ciede2000(first[apart], second[apart])
    assert np.abs(difference - delta_E_CIE2000(first[apart], second[apart])).max() < 1e-9
    assert apart.sum() > 0.9 * len(first)


def test_differences_of_two_single_colours_and_of_all_pairs():
    first, second = pairs_of_colours(40)
    table = ciede2000(first[:, np.newaxis], second[np.newaxis])
    assert table.shape == (40, 40)
    assert table[3, 5] == ciede2000(first[3], second[5])
    assert np.array_equal(ciede2000(first, first), np.zeros(40))


def test_a_difference_does_not_depend_on_which_colour_is_first():
    first, second = pairs_of_colours()
    assert np.allclose(ciede2000(first, second), ciede2000(second, first), rtol=0, atol=1e-9)


def test_single_precision_is_computed_in_double():
    first, second = (lab.astype(np.float32) for lab in pairs_of_colours())
    expected = ciede2000(first.astype(np.float64), second.astype(np.float64))
    assert np.array_equal(ciede2000(first, second), expected)
