"""Focus: more blur is less sharp, in the order of an outside measure, even with noise."""

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import gaussian_filter
from skimage.measure import blur_effect

from auditor.measurements.focus import measure_focus
from auditor.measurements.focus.sharpness import sharpness_map
from auditor.reasons import Reason

SHAPE = (420, 600)
EVERYWHERE = np.ones((10, 10), dtype=bool)


def texture(seed=0, shape=SHAPE):
    """Overlapping blobs with sharp outlines, like crumbs and leaves."""
    rng = np.random.default_rng(seed)
    levels = sum(
        (gaussian_filter(rng.normal(size=shape), scale) > 0) * weight
        for scale, weight in ((3, 60), (8, 50), (20, 40))
    )
    return gaussian_filter(30.0 + levels, 0.5)


def picture(plane, noise=0.0, seed=1):
    grain = np.random.default_rng(seed).normal(0, noise, plane.shape) if noise else 0.0
    grey = np.clip(np.rint(plane + grain), 0, 255).astype(np.uint8)
    return np.repeat(grey[..., np.newaxis], 3, axis=2)


def half(left_blur, right_blur, noise=0.0):
    """A texture blurred by one amount on the left and by another on the right."""
    plane = texture()
    middle = SHAPE[1] // 2
    left = gaussian_filter(plane, left_blur)[:, :middle]
    right = gaussian_filter(plane, right_blur)[:, middle:]
    return picture(np.concatenate([left, right], axis=1), noise)


def on_side(side):
    mask = np.zeros(SHAPE, dtype=bool)
    middle = SHAPE[1] // 2
    mask[80:340, 40 : middle - 40] = True
    return mask if side == "left" else mask[:, ::-1]


def sharpness_of_blurs(seed, noise, blurs):
    pictures = (picture(gaussian_filter(texture(seed), blur), noise) for blur in blurs)
    return [measure_focus(p, EVERYWHERE).value.subject_sharpness for p in pictures]


@pytest.mark.parametrize("seed", range(3))
def test_more_blur_is_less_sharp(seed):
    sharpness = sharpness_of_blurs(seed, 0.0, (0.01, 0.8, 1.5, 2.5, 4.0))
    assert sharpness == sorted(sharpness, reverse=True)
    assert sharpness[0] > 2 * sharpness[2]


@pytest.mark.parametrize("seed", range(3))
def test_more_blur_is_less_sharp_with_grain(seed):
    sharpness = sharpness_of_blurs(seed, 3.0, (0.01, 0.8, 1.5, 2.5))
    assert sharpness[:3] == sorted(sharpness[:3], reverse=True)
    # With grain, such strong blurs can no longer be ordered.
    assert max(sharpness[2:]) < sharpness[0] / 2


def test_order_agrees_with_the_blur_effect_of_crete_and_others():
    rng = np.random.default_rng(2)
    pictures = [
        picture(gaussian_filter(texture(k), blur))
        for k, blur in enumerate(rng.permutation([0.3, 0.7, 1.1, 1.6, 2.2, 3.0]))
    ]
    ours = [measure_focus(p, EVERYWHERE).value.subject_sharpness for p in pictures]
    outside = [blur_effect(p[..., 1]) for p in pictures]
    assert np.argsort(ours).tolist() == np.argsort(outside)[::-1].tolist()


@pytest.mark.parametrize("noise", [0.0, 3.0])
@pytest.mark.parametrize(
    ("side", "blurs", "in_focus"),
    [
        ("left", (0.01, 3.0), True),
        ("left", (3.0, 0.01), False),
        ("right", (3.0, 0.01), True),
        ("right", (0.01, 3.0), False),
    ],
)
def test_the_subject_is_in_focus_where_the_frame_is_sharpest(side, blurs, in_focus, noise):
    quantity = measure_focus(half(*blurs, noise), on_side(side))
    assert quantity.value.subject_in_focus is in_focus
    assert quantity.confidence > 0.8


def test_the_sharpest_part_is_found():
    left = measure_focus(half(0.01, 3.0), on_side("left")).value.sharpest_at
    right = measure_focus(half(3.0, 0.01), on_side("left")).value.sharpest_at
    assert left.x < 0.5 < right.x


# Odd and even widths and heights; sizes at which every row is read, and at which only some are.
@pytest.mark.parametrize("shape", [(420, 600), (421, 601), (420, 601), (700, 1030), (90, 2050)])
def test_a_mirrored_picture_measures_the_same(shape):
    pixels = picture(texture(shape=shape), noise=2.0)
    mask = np.zeros(shape, dtype=bool)
    mask[10:60, shape[1] // 3 :] = True
    ours = measure_focus(pixels, mask).value
    for axis in (0, 1):
        mirrored = measure_focus(np.flip(pixels, axis), np.flip(mask, axis)).value
        assert mirrored.subject_sharpness == pytest.approx(ours.subject_sharpness, abs=1e-5)
        x, y = mirrored.sharpest_at.x, mirrored.sharpest_at.y
        assert (1 - x if axis else x) == pytest.approx(ours.sharpest_at.x, abs=1e-5)
        assert (y if axis else 1 - y) == pytest.approx(ours.sharpest_at.y, abs=1e-5)
        assert mirrored.cause == ours.cause
        if ours.cause:
            assert mirrored.cause_confidence == pytest.approx(ours.cause_confidence, abs=1e-4)


def test_a_picture_on_its_side_measures_nearly_the_same():
    # A portrait picture is read along other rows.
    pixels = half(0.6, 1.2)
    lying = measure_focus(pixels, on_side("left")).value
    upright = measure_focus(pixels.transpose(1, 0, 2), on_side("left").T).value
    assert upright.subject_sharpness == pytest.approx(lying.subject_sharpness, abs=0.02)


def test_blur_is_relative_to_the_frame():
    large = gaussian_filter(texture(shape=(256, 4096)), 1.0)
    sharpness = [
        measure_focus(picture(plane), EVERYWHERE).value.subject_sharpness
        for plane in (large[::2, ::2], large)
    ]
    assert sharpness[1] == pytest.approx(sharpness[0], abs=0.02)
    assert 0.1 < sharpness[0] < 0.9


@pytest.mark.parametrize("noise", [2.0, 4.0])
def test_grain_over_a_blurred_texture_is_not_sharpness(noise):
    sharp = sharpness_of_blurs(0, 0.0, (0.01,))[0]
    assert sharpness_of_blurs(0, noise, (2.5,))[0] < sharp / 2


def test_contrast_does_not_change_sharpness():
    plane = gaussian_filter(texture(), 1.0)
    strong, weak = (
        measure_focus(picture(100 + (plane - 100) * gain), EVERYWHERE).value.subject_sharpness
        for gain in (1.0, 0.5)
    )
    assert weak == pytest.approx(strong, abs=0.06)


def test_a_step_edge_has_full_sharpness_and_a_long_ramp_none():
    x = np.arange(600.0)
    stripes = np.where((x // 25) % 2 > 0, 200.0, 50.0)
    ramp = 50 + 150 * np.abs((x / 30) % 2 - 1)
    # The ramp turns every 30 px and is slightly sharper there.
    for profile, low, high in ((stripes, 0.95, 1.0), (ramp, 0.0, 0.1)):
        tiles = sharpness_map(picture(np.broadcast_to(profile, (400, 600))))
        assert tiles.textured.mean() > 0.5
        assert low <= np.median(tiles.sharpness[tiles.textured]) <= high


def test_the_size_of_the_picture_does_not_change_whether_the_subject_is_in_focus():
    pixels = half(0.01, 1.5)
    large = np.asarray(Image.fromarray(pixels).resize((2400, 1680), Image.Resampling.BICUBIC))
    assert measure_focus(large, on_side("left")).value.subject_in_focus
    assert not measure_focus(large, on_side("right")).value.subject_in_focus


def test_without_a_subject_there_is_no_value():
    quantity = measure_focus(half(0.01, 3), np.zeros((5, 5), dtype=bool))
    assert quantity.reason is Reason.NO_SUBJECT


@pytest.mark.parametrize("noise", [0.0, 4.0])
def test_a_smooth_subject_has_no_value(noise):
    quantity = measure_focus(picture(np.full(SHAPE, 128.0), noise), EVERYWHERE)
    assert quantity.reason is Reason.NO_TEXTURE


def test_too_small_a_picture_has_no_value():
    quantity = measure_focus(np.zeros((20, 300, 3), dtype=np.uint8), EVERYWHERE)
    assert quantity.reason is Reason.TOO_SMALL
