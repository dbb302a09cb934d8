"""16 bits of a PNG are kept where 8 bits of its encoding are too coarse."""

import numpy as np
import pytest
from PIL import Image

from auditor.colorimetry import linear_from_srgb
from tests.photograph.pictures import (
    largest_difference,
    png_chunk,
    png_of,
    read,
    with_checksums,
)
from tests.photograph.png_colours import HEAD_BYTES, deep_png, gamma_chunk, png_with


@pytest.mark.parametrize(
    ("exponent", "largest"),
    [(1.0, 0.6), (2.2, 2.5)],  # 8 bits of gamma 2.2 are enough
)
def test_linear_light_keeps_16_bits(tmp_path, exponent, largest):
    """A ramp of sRGB in the dark: 8 bits of linear light would leave three levels of it."""
    levels = np.tile(np.linspace(0, 40, 200)[np.newaxis, :, np.newaxis], (60, 1, 3))
    light = np.asarray(linear_from_srgb(levels / 255))
    samples = np.rint(light ** (1 / exponent) * 65535).astype(np.uint16)
    pixels = read(tmp_path, deep_png(samples, gamma_chunk(exponent))).pixels
    assert np.abs(pixels - levels).max() <= largest
    in_8_bits = Image.fromarray((samples >> 8).astype(np.uint8))
    coarse = read(tmp_path, png_with(in_8_bits, gamma_chunk(exponent))).pixels
    assert (np.abs(coarse - levels).max() > 10) == (exponent == 1.0)


def test_16_bits_of_a_large_picture_are_reduced(tmp_path):
    levels = np.linspace(0, 65535, 100).astype(np.uint16)
    samples = np.tile(levels[np.newaxis, :, np.newaxis], (40, 1, 3))
    small = read(tmp_path, deep_png(samples, gamma_chunk(1.0))).pixels
    large = samples.repeat(60, axis=0).repeat(60, axis=1)
    reduced = read(tmp_path, deep_png(large, gamma_chunk(1.0))).pixels
    height, width = reduced.shape[:2]
    middles = ((np.arange(100) + 0.5) * width / 100).astype(int)
    assert largest_difference(reduced[height // 2, middles], small[20]) <= 1


@pytest.mark.parametrize(("alpha", "keeps"), [(65535, True), (30000, False)])
def test_16_bits_with_alpha(tmp_path, alpha, keeps):
    """Transparent parts are laid on white, which is done with 8 bits."""
    levels = np.tile(np.linspace(0, 400, 200)[np.newaxis, :, np.newaxis], (60, 1, 4))
    samples = levels.astype(np.uint16)
    samples[..., 3] = alpha
    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in samples)
    data = bytearray(png_of(200, 60, rows, bits=16))
    data[25] = 6  # colour type: RGB with alpha
    data[HEAD_BYTES:HEAD_BYTES] = png_chunk(*gamma_chunk(1.0))
    pixels = read(tmp_path, with_checksums(bytes(data))).pixels
    assert (len(np.unique(pixels[30, :, 0])) > 10) == keeps


def test_16_bit_grey_of_linear_light(tmp_path):
    levels = np.linspace(0, 40, 200)
    light = np.asarray(linear_from_srgb(levels / 255))
    grey = Image.fromarray(np.tile(np.rint(light * 65535).astype(np.uint16), (60, 1)))
    pixels = read(tmp_path, png_with(grey, gamma_chunk(1.0))).pixels
    assert np.abs(pixels[30] - levels[:, np.newaxis]).max() <= 0.6


def test_broken_metadata_behind_the_pixels_cost_nothing(tmp_path):
    samples = np.tile(np.linspace(0, 400, 200).astype(np.uint16)[:, np.newaxis], (60, 1, 3))
    data = deep_png(samples, gamma_chunk(1.0))
    end = len(data) - 12  # the last chunk
    broken = data[:end] + png_chunk(b"zTXt", b"name\0\0not compressed") + data[end:]
    expected = read(tmp_path, data).pixels
    assert len(np.unique(expected)) > 10
    assert np.array_equal(read(tmp_path, broken).pixels, expected)
