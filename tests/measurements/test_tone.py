"""Tone by drawn ramps and the published value of middle grey."""

import math

import numpy as np
import pytest

from auditor.colorimetry import srgb_from_linear
from auditor.measurements.tone import measure_tone


def grey(linear):
    return np.rint(srgb_from_linear(np.asarray(linear)) * 255).astype(np.uint8)


def picture(linear, shape=(60, 80)):
    return np.broadcast_to(grey(linear)[..., np.newaxis], (*shape, 3)).copy()


def test_middle_grey():
    tone = measure_tone(picture(np.full((60, 80), 0.18)))
    # CIE 15:2018: L* of 18 % grey is 49.5; within half a code value.
    assert tone.mean_lightness == pytest.approx(49.5, abs=0.25)
    assert tone.exposure_ev == pytest.approx(0.0, abs=0.02)
    assert tone.contrast == pytest.approx(0.0, abs=1e-4)
    assert (tone.clipped_highlights, tone.clipped_shadows) == (0.0, 0.0)


@pytest.mark.parametrize("stops", [-2.0, -1.0, -0.5, 0.5, 1.0])
def test_exposure_differs_by_the_stops_given(stops):
    scene = np.random.default_rng(4).uniform(0.05, 0.45, (60, 80))
    before, after = (measure_tone(picture(scene * gain)) for gain in (1.0, 2.0**stops))
    assert after.exposure_ev - before.exposure_ev == pytest.approx(stops, abs=0.01)


def test_a_ramp_of_lightness_has_the_contrast_of_its_percentiles():
    lightness = np.broadcast_to(np.linspace(20, 80, 601), (50, 601))
    luminance = ((lightness + 16) / 116) ** 3
    tone = measure_tone(picture(luminance, luminance.shape))
    assert tone.contrast == pytest.approx(0.9 * 60, abs=0.3)
    assert tone.mean_lightness == pytest.approx(50, abs=0.1)


def test_clipping_counts_a_pixel_with_any_channel_at_its_end():
    pixels = np.full((10, 10, 3), 128, dtype=np.uint8)
    pixels[0, :, 0] = 255
    pixels[1:3, :, 2] = 0
    pixels[0, 0] = (255, 255, 0)
    tone = measure_tone(pixels)
    assert tone.clipped_highlights == pytest.approx(0.10)
    assert tone.clipped_shadows == pytest.approx(0.21)


def test_codes_next_to_the_ends_are_not_clipped():
    pixels = np.tile(np.array([1, 254, 128], dtype=np.uint8), (5, 5, 1))
    tone = measure_tone(pixels)
    assert (tone.clipped_highlights, tone.clipped_shadows) == (0.0, 0.0)


def test_a_black_picture_has_finite_numbers():
    tone = measure_tone(np.zeros((8, 8, 3), dtype=np.uint8))
    assert tone.mean_lightness == pytest.approx(0.0, abs=1e-4)
    assert math.isfinite(tone.exposure_ev)
    assert tone.exposure_ev < -10


def test_a_mirrored_picture_has_the_same_tone():
    pixels = np.random.default_rng(8).integers(0, 256, (41, 57, 3)).astype(np.uint8)
    ours, mirrored = measure_tone(pixels), measure_tone(pixels[:, ::-1])
    assert mirrored.mean_lightness == pytest.approx(ours.mean_lightness, abs=1e-4)
    assert mirrored.contrast == pytest.approx(ours.contrast, abs=1e-4)
    assert mirrored.exposure_ev == pytest.approx(ours.exposure_ev, abs=1e-5)
