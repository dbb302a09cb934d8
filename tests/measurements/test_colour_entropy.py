"""The gain of entropy equals one computed cell by cell, and the ends of its range are kept."""

import numpy as np
import pytest

from auditor.colorimetry import XYZ_FROM_LINEAR, cell_means, grid_shape
from auditor.colour_signature import cells_of
from auditor.colour_signature.neutral_plane import plane_from_linear
from auditor.measurements.colour_temperature.colour_entropy import (
    DUV_BIN,
    FAR_DUV_BIN,
    FAR_MIRED,
    LAMP_DUV,
    LAMP_MIRED,
    LARGEST_DIFFERENCE_MIRED,
    LONGEST_SIDE_CELLS,
    MAX_BRIGHTNESS_BINS,
    MAX_DUV_BINS,
    MAX_WARMTH_MIRED,
    WARMTH_BIN_MIRED,
    Colours,
)
from auditor.measurements.colour_temperature.locus import locus_duv

NOTHING = np.zeros((4, 4), dtype=bool)
N_BINS = int(2 * MAX_WARMTH_MIRED / WARMTH_BIN_MIRED) + 4
DIFFERENCES = [-LARGEST_DIFFERENCE_MIRED, -90.0, -45.0, 60.0, 99.0, 100.0, 185.0, 245.0]


@pytest.fixture(scope="module")
def cells():
    """Cells of patches of many colours, some of them very saturated."""
    rng = np.random.default_rng(5)
    patches = rng.integers(30, 240, (24, 36, 3), dtype=np.uint8)
    return cells_of(np.kron(patches, np.ones((8, 8, 1), dtype=np.uint8)), NOTHING)


def colours_one_by_one(cells):
    """Warmth, Duv, Duv from the locus and brightness of each usable cell of the coarse grid."""
    rows, columns = grid_shape(*cells.usable.shape, LONGEST_SIDE_CELLS)
    light = cell_means(cells.light, rows, columns).reshape(-1, 3)
    luminance = light @ XYZ_FROM_LINEAR[1]
    usable = (light.max(axis=1) <= 0.95) & (luminance >= 0.01)
    warmth, duv = plane_from_linear(light[usable]).T
    brightness = np.clip(np.rint(np.log2(luminance[usable])), 1 - MAX_BRIGHTNESS_BINS, 0)
    from_locus = duv - locus_duv(warmth) + LAMP_DUV * warmth / LAMP_MIRED
    return warmth, duv, from_locus, brightness


def entropy_one_by_one(cells, shift, *, far):
    """Entropy with each cell made cooler by `shift` mired, from a histogram kept as a table."""
    counts = {}
    warmth, duv, from_locus, brightness = colours_one_by_one(cells)
    for w, d, locus, bright, by in zip(warmth, duv, from_locus, brightness, shift, strict=True):
        place = np.clip((w - by + MAX_WARMTH_MIRED) / WARMTH_BIN_MIRED, 0, N_BINS - 4)
        lower = int(place)
        at = np.clip(locus / FAR_DUV_BIN if far else d / DUV_BIN, -MAX_DUV_BINS, MAX_DUV_BINS)
        below = np.floor(at)
        parts = [(below, below + 1 - at), (below + 1, at - below)] if far else [(np.rint(at), 1.0)]
        for kind, weight in parts:
            for bin_, share in ((lower, 1 - (place - lower)), (lower + 1, place - lower)):
                for beside, smooth in ((-1, 0.25), (0, 0.5), (1, 0.25)):
                    key = (kind, bright, bin_ + beside)
                    counts[key] = counts.get(key, 0.0) + weight * share * smooth
    shares = np.array([count for count in counts.values() if count > 0]) / len(warmth)
    return -float((shares * np.log(shares)).sum())


def test_gains_are_those_of_a_histogram_made_cell_by_cell(cells):
    colours = Colours(cells)
    beyond = 1 / (1 + np.exp(-colours.x / 0.05))
    away = beyond - beyond.mean()
    expected = []
    for warmer in DIFFERENCES:
        far = abs(warmer) >= FAR_MIRED
        plain = entropy_one_by_one(cells, 0 * away, far=far)
        expected.append(plain - entropy_one_by_one(cells, warmer * away, far=far))
    np.testing.assert_allclose(colours.gains(beyond, DIFFERENCES), expected, rtol=0, atol=1e-12)


def test_several_borders_at_once_have_the_gains_of_each(cells):
    colours = Colours(cells)
    beyond = np.stack([1 / (1 + np.exp((off - colours.x) / 0.05)) for off in (-0.2, 0.0, 0.3, 2.0)])
    for warmer in (-45.0, 130.0):
        each = [colours.gains(of_one, [warmer])[0] for of_one in beyond]
        np.testing.assert_allclose(colours.gains_of_each(beyond, warmer), each, rtol=0, atol=1e-12)
        assert np.isneginf(each[-1])  # everything lies on one side
