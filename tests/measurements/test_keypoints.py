"""Keypoints: spots are found where they were drawn, and again in larger or brighter pictures."""

import base64

import numpy as np
import pytest
from scipy.fft import dctn

from auditor.colorimetry import linear_from_srgb, srgb_from_linear
from auditor.measurements.keypoints import (
    PATCH_STEPS,
    decode_keypoints,
    decode_lightness,
    measure_keypoints,
)
from auditor.measurements.keypoints.measure import LONGEST_SIDE_CELLS, MOST_KEYPOINTS
from auditor.measurements.keypoints.patches import N_WAVES, SAMPLES_A_SIDE, lowest_waves
from auditor.measurements.keypoints.scale_space import blurred_octaves, find_spots

SIZE = (192, 256)


def spots(places, size=SIZE, level=120.0):
    """Round, blurred spots on grey: (x, y, sigma) in pixels, contrast in code values."""
    y, x = np.mgrid[: size[0], : size[1]] + 0.5
    picture = np.full(size, level)
    for left, top, sigma, contrast in places:
        picture += contrast * np.exp(-((x - left) ** 2 + (y - top) ** 2) / (2 * sigma**2))
    grey = np.clip(np.rint(picture), 0, 255).astype(np.uint8)
    return np.repeat(grey[..., np.newaxis], 3, axis=2)


def scene(seed=0, scale=1.0, size=SIZE):
    """Forty spots at random; the same picture, larger or smaller, for another scale."""
    rng = np.random.default_rng(seed)
    n = 40
    places = np.column_stack(
        [
            rng.uniform(10, size[1] - 10, n) * scale,
            rng.uniform(10, size[0] - 10, n) * scale,
            rng.uniform(2.5, 7, n) * scale,
            rng.choice([-60, -40, 40, 60], n),
        ]
    )
    return spots(places, (round(size[0] * scale), round(size[1] * scale)))


def points(pixels):
    return decode_keypoints(measure_keypoints(pixels).points)


def same_spots(first, second):
    """Indices of keypoints of two pictures that lie within half a cell of each other."""
    cell = 1 / LONGEST_SIDE_CELLS
    off = np.hypot(
        first.x[:, np.newaxis] - second.x,
        (first.y[:, np.newaxis] - second.y) * SIZE[0] / SIZE[1],
    )
    octaves = np.abs(np.log2(first.scale[:, np.newaxis] / second.scale))
    return np.nonzero((off < cell / 2) & (octaves < 0.2))


@pytest.mark.parametrize("sigma", [3.0, 4.0, 6.0, 9.0, 14.0])
@pytest.mark.parametrize("contrast", [50, -50])
def test_a_spot_is_found_where_and_as_large_as_it_was_drawn(sigma, contrast):
    found = points(spots([(101.3, 87.6, sigma, contrast)]))
    assert len(found.x) >= 1
    assert found.x[0] * SIZE[1] == pytest.approx(101.3, abs=0.2)
    assert found.y[0] * SIZE[0] == pytest.approx(87.6, abs=0.2)
    # The difference of Gaussians of a spot is largest at the spot's own sigma (Lindeberg 1998),
    # half a level below in terms of the first of the two blurs.
    own = found.scale[0] * SIZE[1] * 2 ** (1 / 6)
    assert own == pytest.approx(sigma, rel=0.1)
    assert found.is_dark[0] == (contrast < 0)


def test_the_strongest_comes_first():
    found = points(spots([(60, 60, 4, 20), (180, 120, 4, 60)]))
    assert found.x[0] * SIZE[1] == pytest.approx(180, abs=0.5)


@pytest.mark.parametrize("scale", [0.8, 1.5, 2.0, 4.0])
def test_a_picture_of_another_size_has_the_same_keypoints(scale):
    first, second = points(scene()), points(scene(scale=scale))
    one, other = same_spots(first, second)
    assert len(one) >= 0.7 * len(first.x) >= 20
    apart = np.linalg.norm(
        first.patch[one].astype(float) - second.patch[other].astype(float), axis=1
    )
    assert np.median(apart) < 0.15 * PATCH_STEPS


@pytest.mark.parametrize("ev", [-1 / 3, 1 / 3])
def test_a_third_of_a_stop_changes_no_patch(ev):
    pixels = scene(seed=3)
    changed = np.clip(linear_from_srgb(pixels / 255) * 2**ev, 0, 1)
    brighter = np.rint(srgb_from_linear(changed) * 255).astype(np.uint8)
    first, second = points(pixels), points(brighter)
    one, other = same_spots(first, second)
    assert len(one) >= 0.8 * len(first.x)
    apart = np.linalg.norm(
        first.patch[one].astype(float) - second.patch[other].astype(float), axis=1
    )
    assert np.percentile(apart, 90) < 0.1 * PATCH_STEPS


def test_patches_of_different_spots_differ():
    found = points(scene(seed=5))
    patches = found.patch.astype(float) / PATCH_STEPS
    apart = np.linalg.norm(patches[:, np.newaxis] - patches, axis=2)
    assert np.median(apart[np.triu_indices(len(patches), 1)]) > 0.5


def test_an_edge_is_no_spot():
    half = np.full((*SIZE, 3), 60, dtype=np.uint8)
    half[:, 128:] = 190
    assert len(points(half).x) == 0


def test_a_busy_picture_keeps_the_strongest_alone():
    rng = np.random.default_rng(1)
    n = 900
    places = (rng.uniform(0, 800, n), rng.uniform(0, 600, n), rng.uniform(6, 9, n))
    contrasts = rng.choice([-50, 50], n)
    keypoints = measure_keypoints(spots(np.column_stack([*places, contrasts]), (600, 800)))
    assert len(decode_keypoints(keypoints.points).x) == MOST_KEYPOINTS
    # 3000 pictures then take 50 MB.
    assert len(keypoints.points) + len(keypoints.lightness) < 17_000


@pytest.mark.parametrize("shape", [(1, 1), (3, 4), (9, 700), (40, 40)])
def test_a_tiny_or_plain_picture_has_none(shape):
    keypoints = measure_keypoints(np.full((*shape, 3), 90, dtype=np.uint8))
    assert len(decode_keypoints(keypoints.points).x) == 0
    assert decode_lightness(keypoints.lightness).min() > 0
    assert find_spots(blurred_octaves(np.zeros((4, 4), dtype=np.float32))).row.size == 0


def test_the_lightness_is_that_of_the_picture():
    ramp = np.repeat(np.linspace(0, 255, 512).astype(np.uint8)[np.newaxis], 384, axis=0)
    keypoints = measure_keypoints(np.repeat(ramp[..., np.newaxis], 3, axis=2))
    lightness = decode_lightness(keypoints.lightness)
    assert lightness.shape == (72, 96)
    assert np.all(np.diff(lightness.mean(axis=0)) > 0)
    # sRGB 128 is L* 53.6 (IEC 61966-2-1, CIE 15).
    assert np.interp(0.5, (np.arange(96) + 0.5) / 96, lightness[36]) == pytest.approx(53.6, abs=0.5)


def test_keypoints_of_another_version_are_refused():
    with pytest.raises(ValueError, match=r"buffer size|base64|padding"):
        decode_keypoints(base64.b64encode(b"abc").decode())
    with pytest.raises(ValueError, match="reshape"):
        decode_lightness(base64.b64encode(bytes([3, 4, 5])).decode())


def test_patches_are_described_by_the_lowest_waves_of_a_cosine_transform():
    """The description equals that of SciPy's transform, which is not loaded for it."""
    rng = np.random.default_rng(2)
    side = SAMPLES_A_SIDE
    sample = rng.normal(size=(5, side, side))
    rows, columns = np.indices((side, side)).reshape(2, -1)
    lowest = np.lexsort((columns, rows, rows**2 + columns**2))[1 : N_WAVES + 1]
    expected = dctn(sample, axes=(1, 2), norm="ortho")[:, rows[lowest], columns[lowest]]
    assert np.abs(lowest_waves(sample) - expected).max() < 1e-12
