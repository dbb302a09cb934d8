"""Tone: drawn ramps and scenes, and the published value of middle grey."""

import math
import warnings

import numpy as np
import pytest
from skimage.draw import disk

from auditor.colorimetry import lab_from_pixels, srgb_from_linear
from auditor.measurements.tone import measure_subject_tone, measure_tone

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour


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


def test_values_next_to_the_ends_are_not_clipped():
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


def test_white_is_white():
    tone = measure_tone(np.full((8, 8, 3), 255, dtype=np.uint8))
    assert tone.mean_lightness == pytest.approx(100)
    assert tone.exposure_ev == pytest.approx(math.log2(1 / 0.18), abs=1e-6)
    assert tone.key == "high"


def test_percentiles_agree_with_numpy():
    pixels = np.random.default_rng(3).integers(0, 256, (67, 91, 3)).astype(np.uint8)
    lightness = lab_from_pixels(pixels)[..., 0]
    tone = measure_tone(pixels)
    low, high = np.percentile(lightness, [5, 95])
    assert tone.contrast == pytest.approx(high - low, abs=0.02)
    low, high = np.percentile(lightness, [25, 75])
    assert tone.midtone_contrast == pytest.approx(high - low, abs=0.02)
    assert tone.mean_lightness == pytest.approx(float(lightness.mean()), abs=0.01)


@pytest.mark.parametrize("stops", [0.5, 1.0])
def test_clipped_highlights_do_not_change_the_midtone_exposure(stops):
    scene = np.random.default_rng(4).uniform(0.02, 0.9, (60, 80)) ** 2
    lit = [np.minimum(scene * gain, 1) for gain in (1.0, 2.0**stops)]
    before, after = (measure_tone(picture(light)) for light in lit)
    assert after.clipped_highlights > 0.05
    assert after.midtone_ev - before.midtone_ev == pytest.approx(stops, abs=0.02)
    assert after.exposure_ev - before.exposure_ev < after.midtone_ev - before.midtone_ev


# Greys a stop above and below the bounds of 1.5 EV from 18 %: 72 % and 3.2 % of white.
@pytest.mark.parametrize(
    ("light", "dark", "key"),
    [
        (0.6, 0.1, "high"),
        (0.6, 0.3, "middle"),  # bright, with too much black: a contrast
        (0.1, 0.6, "low"),
        (0.3, 0.6, "middle"),
        (0.4, 0.0, "middle"),
        (0.0, 0.0, "middle"),
    ],
)
def test_key_by_the_larger_part_of_the_frame(light, dark, key):
    values = np.full(1000, 0.18)
    values[: round(light * 1000)] = 0.72
    values[1000 - round(dark * 1000) :] = 0.032
    assert measure_tone(picture(values.reshape(20, 50), (20, 50))).key == key


def test_clipping_is_reported_by_channel_and_place():
    pixels = np.full((240, 320, 3), 128, dtype=np.uint8)
    pixels[20:60, 200:280, 0] = 255  # red alone: 40 by 80 of 240 by 320 pixels
    pixels[180:220, 30:80] = 0
    clipping = measure_tone(pixels).clipping
    assert clipping.highlights == pytest.approx((3200 / 76800, 0, 0))
    assert clipping.shadows == pytest.approx((2000 / 76800,) * 3)
    blown, blocked = clipping.regions
    assert (blown.kind, blocked.kind) == ("highlights", "shadows")
    assert blown.bbox == pytest.approx((200 / 320, 20 / 240, 280 / 320, 60 / 240), abs=0.02)
    assert blocked.bbox == pytest.approx((30 / 320, 180 / 240, 80 / 320, 220 / 240), abs=0.02)
    assert blown.share == pytest.approx(3200 / 76800, rel=0.25)


def test_scattered_glints_are_counted_but_form_no_region():
    pixels = np.full((240, 320, 3), 128, dtype=np.uint8)
    pixels[::20, ::20] = 255
    tone = measure_tone(pixels)
    assert tone.clipped_highlights > 0
    assert tone.clipping.regions == ()


def subject_scene(inside, outside, noise=0.0, seed=0):
    """A round subject of one lightness, with texture, on a background of another."""
    lightness = np.full((480, 640), float(outside))
    mask = np.zeros((480, 640), dtype=np.bool_)
    mask[disk((240, 320), 120)] = True
    grain = np.kron(np.random.default_rng(seed).normal(0, 1, (120, 160)), np.ones((4, 4)))
    lightness[mask] = (inside + noise * grain)[mask]
    return picture(((lightness + 16) / 116) ** 3, lightness.shape), mask


def test_the_subject_is_compared_with_its_surroundings():
    tone = measure_subject_tone(*subject_scene(70, 40))
    assert tone.lightness == pytest.approx(70, abs=0.3)
    assert tone.lightness_difference == pytest.approx(30, abs=0.5)
    # CIEDE2000 of two greys, by colour-science's implementation of Sharma and others (2005).
    expected = colour.delta_E(np.array([70.0, 0, 0]), np.array([40.0, 0, 0]), method="CIE 2000")
    assert tone.colour_difference == pytest.approx(float(expected), abs=0.5)
    assert tone.texture == pytest.approx(0, abs=0.1)


def test_pixels_far_from_the_subject_do_not_count():
    pixels, mask = subject_scene(70, 40)
    pixels[:40], pixels[-40:] = 255, 255
    assert measure_subject_tone(pixels, mask).lightness_difference == pytest.approx(30, abs=0.5)


def test_more_texture_gives_a_larger_value():
    found = [measure_subject_tone(*subject_scene(60, 40, noise)).texture for noise in (0, 2, 4, 8)]
    assert found == sorted(found)
    assert found[3] == pytest.approx(2 * found[2], rel=0.1)


def test_the_subjects_outline_is_no_texture():
    assert measure_subject_tone(*subject_scene(90, 10)).texture < 0.5


def test_there_is_no_subject_tone_without_a_subject():
    pixels, mask = subject_scene(70, 40)
    assert measure_subject_tone(pixels, np.zeros_like(mask)) is None
    assert measure_subject_tone(pixels, np.ones_like(mask)) is None
