"""Fingerprints: near-duplicates have small differences, other pictures large ones."""

import io

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import gaussian_filter

from auditor.colorimetry import linear_from_srgb, shift_mired, srgb_from_linear
from auditor.measurements.fingerprint import (
    NEAR_DUPLICATE_DIFFERENCE,
    fingerprint,
    fingerprint_difference,
)


def table(seed, shape=(360, 480)):
    """A table with a few dishes at random."""
    rng = np.random.default_rng(seed)
    pixels = np.full((*shape, 3), rng.uniform(60, 200, 3))
    y, x = np.mgrid[: shape[0], : shape[1]]
    for _ in range(6):
        cx, cy, radius = rng.uniform(0, shape[1]), rng.uniform(0, shape[0]), rng.uniform(20, 110)
        pixels[np.hypot(x - cx, (y - cy) * 1.4) < radius] = rng.uniform(10, 245, 3)
    pixels = gaussian_filter(pixels, (1.5, 1.5, 0)) + rng.normal(0, 3, pixels.shape)
    return np.clip(pixels, 0, 255).astype(np.uint8)


def in_light(pixels, change):
    changed = np.clip(change(linear_from_srgb(pixels / 255)), 0, 1)
    return np.rint(srgb_from_linear(changed) * 255).astype(np.uint8)


def recompressed(pixels):
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, "JPEG", quality=30)
    return np.asarray(Image.open(buffer).convert("RGB"))


def half_size(pixels):
    height, width = pixels.shape[:2]
    return np.asarray(Image.fromarray(pixels).resize((width // 2, height // 2)))


SMALL_CHANGES = {
    "recompressed": recompressed,
    "half size": half_size,
    "a third of a stop up": lambda p: in_light(p, lambda light: light * 2**0.33),
    "a third of a stop down": lambda p: in_light(p, lambda light: light / 2**0.33),
    "10 mired warmer": lambda p: in_light(p, lambda light: shift_mired(light, 10)),
    "camera moved by 1 %": lambda p: np.roll(p, (4, 5), axis=(0, 1)),
}


@pytest.mark.parametrize("change", SMALL_CHANGES)
@pytest.mark.parametrize("seed", range(5))
def test_a_slightly_changed_picture_is_a_near_duplicate(change, seed):
    pixels = table(seed)
    other = SMALL_CHANGES[change](pixels)
    assert (
        fingerprint_difference(fingerprint(pixels), fingerprint(other)) < NEAR_DUPLICATE_DIFFERENCE
    )


def test_different_tables_have_large_differences():
    prints = [fingerprint(table(seed)) for seed in range(12)]
    differences = [
        fingerprint_difference(a, b) for i, a in enumerate(prints) for b in prints[i + 1 :]
    ]
    assert min(differences) > 1.5 * NEAR_DUPLICATE_DIFFERENCE
    assert np.median(differences) == pytest.approx(1, abs=0.2)


def test_a_mirrored_table_is_another_picture():
    pixels = table(3)
    mirrored = fingerprint(pixels[:, ::-1])
    assert fingerprint_difference(fingerprint(pixels), mirrored) > NEAR_DUPLICATE_DIFFERENCE


def test_a_larger_change_makes_a_larger_difference():
    pixels = table(1)
    moved = [
        fingerprint_difference(fingerprint(pixels), fingerprint(np.roll(pixels, k, axis=1)))
        for k in (0, 4, 12, 36)
    ]
    assert moved[0] == 0
    assert moved == sorted(moved)


def test_difference_is_symmetric():
    a, b = fingerprint(table(1)), fingerprint(table(2))
    assert fingerprint_difference(a, b) == fingerprint_difference(b, a)


def test_a_fingerprint_is_hexadecimal_and_of_fixed_length():
    prints = [fingerprint(np.zeros((h, w, 3), dtype=np.uint8)) for h, w in ((1, 1), (9, 700))]
    prints.append(fingerprint(table(0)))
    assert len({len(text) for text in prints}) == 1
    assert all(set(text) <= set("0123456789abcdef") for text in prints)


def test_uniform_pictures_of_different_colours_differ():
    red, blue = np.zeros((50, 50, 3), dtype=np.uint8), np.zeros((50, 50, 3), dtype=np.uint8)
    red[..., 0], blue[..., 2] = 200, 200
    difference = fingerprint_difference(fingerprint(red), fingerprint(blue))
    assert difference > NEAR_DUPLICATE_DIFFERENCE


def test_grain_does_not_change_a_uniform_picture():
    rng = np.random.default_rng(0)
    one, other = (
        np.clip(rng.normal(128, 6, (200, 300, 3)), 0, 255).astype(np.uint8) for _ in range(2)
    )
    difference = fingerprint_difference(fingerprint(one), fingerprint(other))
    assert difference < NEAR_DUPLICATE_DIFFERENCE


def test_a_fingerprint_of_another_version_is_refused():
    with pytest.raises(ValueError, match="not a fingerprint"):
        fingerprint_difference("00ff", fingerprint(table(0)))
