"""The cause of softness: drawn causes are found, and none is named between two of them."""

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import gaussian_filter, rotate

from auditor.measurements.focus import measure_focus
from auditor.measurements.focus.causes import (
    MOTION_BLUR_LOG_RATIO,
    cause_of,
    probability_in_focus,
)
from auditor.measurements.focus.differences import DifferenceEnergies
from auditor.measurements.focus.evidence import Evidence, evidence_of, subject_tiles
from auditor.measurements.focus.motion_blur import motion_blur
from auditor.measurements.focus.sharpness import SharpnessMap, sharpness_map

from .test_focus import EVERYWHERE, SHAPE, picture, texture

BLURS = {
    "shallow focus": (0.01, 3.0),
    "deep focus": (0.01, 0.01),
    "missed focus": (3.0, 0.01),
    "soft all over": (3.0, 3.0),
}
"""Blur of the left half, which is the subject, and of the right half, px."""

LEFT = np.repeat([[True, False]], 4, axis=0)
DIRECTIONS_DEG = range(0, 180, 20)


def halves(left_blur, right_blur):
    """Large blobs with sharp outlines, like sliced fruit, each half blurred by its own amount."""
    rng = np.random.default_rng(6)
    blots = (gaussian_filter(rng.normal(size=SHAPE), scale) > 0 for scale in (9, 25))
    plane = 50.0 + sum(weight * blot for weight, blot in zip((70, 60), blots, strict=True))
    left, right = (gaussian_filter(plane, blur) for blur in (left_blur, right_blur))
    return picture(np.where(np.arange(SHAPE[1]) < SHAPE[1] // 2, left, right))


def moved(plane, length, deg):
    """Simulate uniform motion by `length` pixels along a direction."""
    steps = np.linspace(-length / 2, length / 2, 2 * length + 1)
    y, x = np.fft.fftfreq(plane.shape[0])[:, np.newaxis], np.fft.fftfreq(plane.shape[1])
    along = x * np.cos(np.deg2rad(deg)) - y * np.sin(np.deg2rad(deg))
    transfer = np.mean([np.exp(2j * np.pi * along * step) for step in steps], axis=0)
    return np.fft.ifft2(np.fft.fft2(plane) * transfer).real


def motion_blur_of(pixels):
    tiles = sharpness_map(pixels)
    return motion_blur(tiles, np.ones_like(tiles.textured))


def same(pixels):
    return pixels


def grainy(pixels):
    grain = np.random.default_rng(4).normal(0, 4.0, pixels.shape[:2])[..., np.newaxis]
    return np.clip(np.rint(pixels + grain), 0, 255).astype(np.uint8)


def halved(pixels):
    image = Image.fromarray(pixels)
    size = (image.width // 2, image.height // 2)
    return np.asarray(image.resize(size, Image.Resampling.LANCZOS))


def compressed(pixels):
    file = BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=60)
    return np.asarray(Image.open(file))


@pytest.mark.parametrize("change", [same, grainy, compressed])
@pytest.mark.parametrize("cause", BLURS)
def test_the_drawn_cause_is_found_even_with_grain_or_compression(cause, change):
    found = measure_focus(change(halves(*BLURS[cause])), LEFT).value
    assert found.cause == cause
    assert found.cause_confidence > 0.6


@pytest.mark.parametrize("cause", ["shallow focus", "deep focus"])
def test_at_half_the_size_sharpness_has_less_confidence(cause):
    whole, small = (measure_focus(pixels, LEFT) for pixels in with_half(halves(*BLURS[cause])))
    assert whole.value.cause == cause
    assert small.value.cause is None  # 300 px are not enough
    assert small.value.subject_in_focus
    assert small.confidence < whole.confidence


def test_missed_focus_is_found_at_half_the_size():
    whole, small = (
        measure_focus(pixels, LEFT) for pixels in with_half(halves(*BLURS["missed focus"]))
    )
    assert whole.value.cause == small.value.cause == "missed focus"
    assert small.confidence == pytest.approx(whole.confidence, abs=0.1)


def with_half(pixels):
    return pixels, halved(pixels)


@pytest.mark.parametrize("deg", [40, 60, 140])
def test_a_board_soft_in_one_direction_under_a_still_subject_is_no_motion_blur(deg):
    """Like the grain of a board, drawn as motion blur, so that softness alone looks like motion."""
    board, inside = moved(texture(seed=5), 10, deg), np.zeros(SHAPE, dtype=bool)
    inside[160:260, 250:350] = True
    pixels = picture(np.where(inside, texture(), board))
    assert motion_blur_of(pixels) > 1.5 * MOTION_BLUR_LOG_RATIO  # the frame as a whole looks moved
    assert measure_focus(pixels, inside).value.cause == "shallow focus"


@pytest.mark.parametrize("deg", DIRECTIONS_DEG)
@pytest.mark.parametrize("change", [same, grainy])
def test_motion_blur_is_found_in_every_direction(deg, change):
    pixels = change(picture(moved(texture(), 5, deg)))
    assert measure_focus(pixels, EVERYWHERE).value.cause == "motion blur"


def test_a_moving_subject_beside_a_still_table_is_motion_blur():
    plane = texture()
    plane[:, :300] = moved(plane, 6, 30)[:, :300]
    found = measure_focus(picture(plane), LEFT).value
    assert found.cause == "motion blur"


def test_longer_motion_gives_more_motion_blur():
    amounts = [motion_blur_of(picture(moved(texture(), length, 40))) for length in (1, 2, 4, 7)]
    assert amounts == sorted(amounts)
    assert amounts[0] < 0.13 < 0.3 < amounts[-1]


@pytest.mark.parametrize("blur", [0.01, 1.0, 2.0])
@pytest.mark.parametrize("seed", range(3))
def test_softness_equal_in_all_directions_is_no_motion_blur(seed, blur):
    assert motion_blur_of(picture(gaussian_filter(texture(seed), blur), noise=2.0)) < 0.1


@pytest.mark.parametrize("deg", DIRECTIONS_DEG)
def test_stripes_are_no_motion_blur(deg):
    # Like the boards of a table: sharp across, without detail along.
    y, x = np.mgrid[:420, :600]
    along = x * np.cos(np.deg2rad(deg)) + y * np.sin(np.deg2rad(deg))
    stripes = gaussian_filter(np.where(along % 24 < 12, 160.0, 90.0), 0.5)
    assert measure_focus(picture(stripes, noise=2.0), EVERYWHERE).value.cause != "motion blur"


@pytest.mark.parametrize("deg", [0, 15, 45])
def test_a_weave_is_no_motion_blur(deg):
    y, x = np.mgrid[:800, :800]
    threads = 120.0 + 40 * (x % 10 < 5) + 25 * (y % 14 < 6)
    cloth = rotate(gaussian_filter(threads, 0.5), deg, reshape=False, mode="wrap")[190:610, 100:700]
    assert measure_focus(picture(cloth, noise=2.0), EVERYWHERE).value.cause != "motion blur"


def test_a_subject_that_fills_the_frame_has_no_cause():
    found = measure_focus(picture(texture()), EVERYWHERE).value
    assert found.subject_in_focus
    assert found.cause is None
    assert found.cause_confidence is None


def test_few_sharp_tiles_are_enough_on_the_subject_and_elsewhere():
    # With shallow depth of field, only a tenth of the subject or a twentieth of the rest is sharp.
    on_subject = np.repeat([[True, False]], 10, axis=1).repeat(10, axis=0)
    sharpness = np.where(on_subject, 0.3, 0.2)
    sharpness[:, :2] = 0.9
    sharpness[:8, -1] = 0.8
    zero = np.zeros((4, 10, 20))
    tiles = SharpnessMap(
        sharpness, np.ones((10, 20), dtype=bool), DifferenceEnergies(zero, zero, 50.0), 0.0
    )
    expected = Evidence(0.9, 0.8, soft_share=0.92, motion_blur=0.0, n_tiles=100, longest_px=900)
    assert evidence_of(tiles, on_subject, 900) == expected


def test_a_less_sharp_part_is_not_the_sharpest():
    assert measure_focus(halves(0.01, 0.45), LEFT).value.sharpest_at.x < 0.35


def test_a_weave_as_fine_as_noise_is_not_subtracted_from_the_subject():
    pixels = halves(0.01, 0.01)
    weave = np.random.default_rng(2).normal(0, 25, (60, SHAPE[1]))[..., np.newaxis]
    pixels[-60:] = np.clip(128 + weave, 0, 255).astype(np.uint8)
    clean = measure_focus(halves(0.01, 0.01), LEFT).value.subject_sharpness
    assert measure_focus(pixels, LEFT).value.subject_sharpness > 0.9 * clean


CLEAR = Evidence(0.9, 0.9, soft_share=0.0, motion_blur=0.0, n_tiles=40, longest_px=2048)


# On both sides of every threshold, and between, where no cause is named.
@pytest.mark.parametrize(
    ("changed", "cause"),
    [
        ({}, "deep focus"),
        ({"soft_share": 0.3}, "deep focus"),
        ({"soft_share": 0.5}, None),
        ({"soft_share": 0.72}, "shallow focus"),
        ({"subject": 0.55}, "deep focus"),
        ({"subject": 0.48}, None),
        ({"subject": 0.44}, None),
        ({"subject": 0.3}, "missed focus"),
        ({"subject": 0.3, "elsewhere": 0.7}, None),
        ({"subject": 0.85, "elsewhere": 1.0}, "deep focus"),
        ({"subject": 0.38, "elsewhere": 0.5}, "deep focus"),
        ({"subject": 0.38, "elsewhere": 0.38}, "soft all over"),
        ({"subject": 0.44, "elsewhere": 0.44}, None),
        ({"subject": 0.49, "elsewhere": 0.49}, "deep focus"),
        ({"subject": 0.1, "elsewhere": 0.38}, "soft all over"),
        ({"motion_blur": 0.13, "subject": 0.7}, "deep focus"),
        ({"motion_blur": 0.19, "subject": 0.7}, None),
        ({"motion_blur": 0.25, "subject": 0.7}, "motion blur"),
        ({"motion_blur": 0.25, "subject": 0.98}, "deep focus"),
        ({"soft_share": None}, None),
        ({"n_tiles": 20, "motion_blur": 0.4, "subject": 0.7}, "motion blur"),
        ({"n_tiles": 0, "motion_blur": 0.4, "subject": 0.7}, None),
        ({"longest_px": 640}, "deep focus"),
        ({"longest_px": 320}, None),
        ({"longest_px": 320, "soft_share": 1.0}, None),
        ({"longest_px": 320, "motion_blur": 0.4, "subject": 0.7}, "motion blur"),
        ({"longest_px": 320, "subject": 0.3}, "missed focus"),
        ({"longest_px": 320, "subject": 0.3, "elsewhere": 0.3}, "soft all over"),
    ],
)
def test_thresholds_of_the_causes(changed, cause):
    assert cause_of(replace(CLEAR, **changed))[0] == cause


def test_the_confidence_grows_with_the_distance_from_a_threshold():
    soft = replace(CLEAR, subject=0.7)
    near, far = (cause_of(replace(soft, motion_blur=amount))[1] for amount in (0.245, 0.4))
    few = cause_of(replace(soft, motion_blur=0.4, n_tiles=10))[1]
    assert 0.85 < near < 0.93
    assert few < far
    assert 0.9 < far < 0.96


@pytest.mark.parametrize(("n_columns_px", "n_tiles"), [(20, 2), (24, 2), (26, 3)])
def test_a_tile_counts_to_the_subject_from_half_of_it(n_columns_px, n_tiles):
    mask = np.zeros((40, 80), dtype=bool)
    mask[:, :n_columns_px] = True
    tiles = subject_tiles(mask, 4, 8)  # of 10 px each
    assert tiles.all(axis=0).sum() == tiles.any(axis=0).sum() == n_tiles


def test_a_small_picture_lowers_the_confidence_of_sharpness_but_not_of_softness():
    in_focus = [probability_in_focus(replace(CLEAR, longest_px=px)) for px in (200, 400, 640, 4096)]
    assert 0.5 < in_focus[0] < in_focus[1] < in_focus[2] == in_focus[3]
    assert in_focus[0] < 0.75
    near = replace(CLEAR, subject=0.5)
    assert 0.5 < probability_in_focus(replace(near, longest_px=200)) < probability_in_focus(near)
    soft = replace(CLEAR, subject=0.2)
    assert probability_in_focus(replace(soft, longest_px=200)) == probability_in_focus(soft)


def test_a_subject_sharper_than_all_else_is_in_focus():
    assert 0.9 < probability_in_focus(replace(CLEAR, elsewhere=0.2)) < 0.96
    assert probability_in_focus(replace(CLEAR, subject=0.1)) < 0.1
    assert probability_in_focus(replace(CLEAR, subject=0.48)) == pytest.approx(0.5, abs=1e-6)
