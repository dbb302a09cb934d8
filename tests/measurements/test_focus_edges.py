"""Sharpness of drawn edges against theory and against the modulation transfer of ISO 12233."""

import math

import numpy as np
import pytest
from scipy.stats import norm, spearmanr

from auditor.measurements.focus.sharpness import sharpness_map

SIDE = 640
SLANT_DEG = 5.0  # "approximately 5 degrees": ISO 12233:2017, slanted edge, from memory
BLURS_PX = (0.4, 0.6, 0.8, 1.0, 1.3, 1.7, 2.2)
OVERSAMPLING = 4


def slanted_edge(blur_px, low=60.0, high=190.0):
    """Nearly vertical edge through the centre, blurred by a Gaussian, (SIDE, SIDE) code values."""
    slant = math.radians(SLANT_DEG)
    y, x = np.mgrid[:SIDE, :SIDE] - (SIDE - 1) / 2
    across = x * math.cos(slant) + y * math.sin(slant)
    return low + (high - low) * norm.cdf(across / blur_px)


def sharpness_of_edge(plane):
    tiles = sharpness_map(np.repeat(np.rint(plane).astype(np.uint8)[..., np.newaxis], 3, axis=2))
    coarse = tiles.energies.coarse[:2].sum(axis=0)
    whole = coarse > 0.9 * coarse.max()  # tiles with the edge well inside
    return float(np.median(tiles.sharpness[whole]))


def energy(span_px, blur_px):
    """Integral of the squared difference over a span, across a blurred step."""
    x = np.linspace(-40, 40, 40001)
    step = norm.cdf((x + span_px) / blur_px) - norm.cdf(x / blur_px)
    return float(np.trapezoid(step**2, x))


def sharpness_by_theory(blur_px):
    slant = math.radians(SLANT_DEG)
    fine, coarse = (
        sum(energy(span * part, blur_px) for part in (math.cos(slant), math.sin(slant)))
        for span in (1, 4)
    )
    return min(1.0, max(0.0, (math.sqrt(fine / coarse) - 1 / 4) / (1 / 4)))


def mtf50(plane):
    """Frequency of half contrast, in cycles per pixel, by the procedure of ISO 12233."""
    slant = math.radians(SLANT_DEG)
    y, x = np.mgrid[:SIDE, :SIDE] - (SIDE - 1) / 2
    across = x * math.cos(slant) + y * math.sin(slant)
    bins = np.rint(across * OVERSAMPLING).astype(int)
    near = np.abs(bins) <= 32 * OVERSAMPLING
    places = bins[near] + 32 * OVERSAMPLING
    spread = np.bincount(places, plane[near]) / np.bincount(places)
    line = np.diff(spread) * np.hanning(spread.size - 1)
    transfer = np.abs(np.fft.rfft(line, 4096))
    frequencies = np.fft.rfftfreq(4096, 1 / OVERSAMPLING)
    return float(np.interp(-0.5, -transfer / transfer[0], frequencies))


@pytest.mark.parametrize("blur_px", BLURS_PX)
def test_sharpness_of_a_blurred_step_agrees_with_theory(blur_px):
    found = sharpness_of_edge(slanted_edge(blur_px))
    assert found == pytest.approx(sharpness_by_theory(blur_px), abs=0.02)


@pytest.mark.parametrize("blur_px", BLURS_PX)
def test_the_outside_measure_agrees_with_theory(blur_px):
    # The transfer function of a Gaussian is a Gaussian: half at sqrt(2 ln 2) / (2 pi sigma).
    expected = math.sqrt(2 * math.log(2)) / (2 * math.pi * blur_px)
    assert mtf50(slanted_edge(blur_px)) == pytest.approx(expected, rel=0.06)


def test_sharpness_follows_the_modulation_transfer():
    edges = [slanted_edge(blur, 60.0, high) for high in (130.0, 230.0) for blur in BLURS_PX]
    ours = [sharpness_of_edge(edge) for edge in edges]
    assert spearmanr(ours, [mtf50(edge) for edge in edges]).statistic > 0.98
