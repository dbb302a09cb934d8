"""Each format and kind of sample gives the picture that was written."""

import hashlib
import io

import numpy as np
import pytest
from PIL import Image

from tests.photograph.pictures import (
    QUARTERS,
    colour_fields,
    encoded,
    largest_difference,
    png_of,
    quarter_colours,
    quarters,
    read,
    tiff_of,
)

_LOSSLESS = (
    ("PNG", {}),
    ("TIFF", {}),
    ("TIFF", {"compression": "tiff_lzw"}),
    ("TIFF", {"compression": "tiff_adobe_deflate"}),
    ("WEBP", {"lossless": True}),
)


@pytest.mark.parametrize(("kind", "options"), _LOSSLESS)
def test_lossless_formats_give_back_every_pixel(tmp_path, kind, options):
    picture = colour_fields()
    data = encoded(picture, kind, **options)
    photograph = read(tmp_path, data)
    assert np.array_equal(photograph.pixels, np.asarray(picture))
    assert (photograph.width, photograph.height) == picture.size
    assert photograph.sha256 == hashlib.sha256(data).hexdigest()
    assert photograph.colour_profile == "sRGB (assumed)"
    assert photograph.file == "picture.jpg"


@pytest.mark.parametrize("kind", ["JPEG", "WEBP", "AVIF"])
def test_lossy_formats_come_close(tmp_path, kind):
    photograph = read(tmp_path, encoded(quarters(), kind, quality=95))
    close = zip(quarter_colours(photograph.pixels), QUARTERS, strict=True)
    assert all(np.abs(np.subtract(a, b)).max() <= 4 for a, b in close)


def test_heic_is_read_with_the_addition(tmp_path):
    heif = pytest.importorskip("pillow_heif")
    stream = io.BytesIO()
    heif.from_pillow(quarters()).save(stream, quality=95)
    photograph = read(tmp_path, stream.getvalue(), "picture.heic")
    close = zip(quarter_colours(photograph.pixels), QUARTERS, strict=True)
    assert all(np.abs(np.subtract(a, b)).max() <= 4 for a, b in close)


def test_heic_is_turned_once(tmp_path):
    heif = pytest.importorskip("pillow_heif")
    heif.register_heif_opener()
    exif = Image.Exif()
    exif[0x0112] = 6
    data = encoded(quarters(), "HEIF", exif=exif.tobytes(), quality=95)
    photograph = read(tmp_path, data, "picture.heic")
    assert (photograph.width, photograph.height) == (80, 120)
    expected = quarter_colours(np.asarray(quarters().transpose(Image.Transpose.ROTATE_270)))
    close = zip(quarter_colours(photograph.pixels), expected, strict=True)
    assert all(np.abs(np.subtract(a, b)).max() <= 4 for a, b in close)


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_16_bit_grey_is_scaled_and_not_clipped(tmp_path, kind):
    levels = np.linspace(0, 65535, 256).round().astype(np.uint16)
    photograph = read(tmp_path, encoded(Image.fromarray(np.tile(levels, (16, 1))), kind))
    expected = np.repeat(np.arange(256, dtype=np.uint8)[:, np.newaxis], 3, axis=1)
    assert np.array_equal(photograph.pixels[8], expected)


@pytest.mark.parametrize(("order", "photometric"), [("<", 0), ("<", 1), (">", 1)])
def test_16_bit_grey_tiff_in_either_byte_order_and_direction(tmp_path, order, photometric):
    levels = np.linspace(0, 65535, 64).round().astype(np.uint16)
    samples = np.tile(levels, (8, 1))[:, :, np.newaxis]
    grey = read(tmp_path, tiff_of(samples, photometric=photometric, order=order)).pixels[4, :, 0]
    expected = np.rint(levels / 257).astype(int)
    if photometric == 0:  # white is zero
        expected = 255 - expected
    assert np.abs(grey - expected).max() <= 1


def test_16_bit_rgb_tiff_is_within_one_level(tmp_path):
    generator = np.random.default_rng(3)
    samples = generator.integers(0, 65536, (20, 30, 3), dtype=np.uint16)
    pixels = read(tmp_path, tiff_of(samples, photometric=2)).pixels
    assert np.abs(pixels - samples / 257).max() < 1


def test_16_bit_rgb_png_is_within_one_level(tmp_path):
    samples = np.random.default_rng(4).integers(0, 65536, (20, 30, 3), dtype=np.uint16)
    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in samples)
    data = png_of(30, 20, rows, bits=16)
    pixels = read(tmp_path, data).pixels
    assert np.abs(pixels - samples / 257).max() < 1


def test_float_samples_are_display_encoded_from_0_to_1(tmp_path):
    levels = np.linspace(0, 1, 52, dtype=np.float32)
    pixels = read(tmp_path, tiff_of(np.tile(levels, (4, 1))[:, :, None], photometric=1)).pixels
    assert np.array_equal(pixels[2, :, 0], np.arange(0, 256, 5))


@pytest.mark.parametrize("mode", ["1", "L", "P", "LA", "RGBA", "PA", "CMYK"])
def test_every_mode_becomes_rgb(tmp_path, mode):
    kind = "TIFF" if mode in ("CMYK", "PA") else "PNG"
    picture = Image.new("RGB", (40, 30), (255, 255, 255))
    picture.paste((0, 0, 0), (0, 0, 20, 30))
    converted = picture.convert("P").convert("PA") if mode == "PA" else picture.convert(mode)
    pixels = read(tmp_path, encoded(converted, kind)).pixels
    assert largest_difference(pixels, np.asarray(picture)) == 0


@pytest.mark.parametrize("mode", ["LA", "RGBA"])
def test_transparent_parts_become_white(tmp_path, mode):
    picture = Image.new("RGBA", (40, 30), (0, 0, 0, 0))
    picture.paste((100, 100, 100, 128), (20, 0, 40, 30))
    pixels = read(tmp_path, encoded(picture.convert(mode), "PNG")).pixels
    assert tuple(pixels[15, 5]) == (255, 255, 255)
    # half of 100 and half of 255, rounded
    assert np.abs(pixels[15, 30].astype(int) - 177).max() <= 1


def test_a_transparent_palette_entry_becomes_white(tmp_path):
    picture = Image.new("P", (40, 30), 0)
    picture.putpalette([10, 20, 30, 200, 100, 50])
    picture.paste(1, (20, 0, 40, 30))
    pixels = read(tmp_path, encoded(picture, "PNG", transparency=0)).pixels
    assert tuple(pixels[15, 5]) == (255, 255, 255)
    assert tuple(pixels[15, 30]) == (200, 100, 50)


def test_the_first_frame_of_several_is_read(tmp_path):
    first, second = quarters(), Image.new("RGB", (120, 80))
    data = encoded(first, "TIFF", save_all=True, append_images=[second])
    assert np.array_equal(read(tmp_path, data).pixels, np.asarray(first))
    data = encoded(first, "MPO", save_all=True, append_images=[second], quality=95)
    close = zip(quarter_colours(read(tmp_path, data).pixels), QUARTERS, strict=True)
    assert all(np.abs(np.subtract(a, b)).max() <= 4 for a, b in close)
