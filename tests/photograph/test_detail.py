"""Large pictures: the full size is recorded, the pixels are read as small as is enough."""

import io

import numpy as np
import pytest
from PIL import Image

from auditor.photograph.photograph import DETAIL_SIDE_PX, WORKING_SIDE_PX
from auditor.photograph.shrinking import DETAIL_ENOUGH_PX, detail_size_px
from tests.photograph.pictures import encoded, read


@pytest.fixture(scope="module")
def large():
    """A 24-megapixel picture with detail of many sizes, the finest of it without colour.

    Fine grain in colour would be lost to the JPEG's halved colour channels before it is read.
    """
    generator = np.random.default_rng(5)
    picture = generator.normal(128, 6, (1000, 1500, 1)).repeat(3, axis=2)
    for n_across, amplitude in ((12, 30), (200, 12)):
        noise = generator.normal(0, amplitude, (n_across * 2 // 3, n_across, 3))
        for channel in range(3):
            layer = Image.fromarray(noise[..., channel].astype(np.float32))
            picture[..., channel] += np.asarray(layer.resize((1500, 1000)))
    quarter = Image.fromarray(np.clip(picture, 0, 255).astype(np.uint8))
    return quarter.resize((6000, 4000), Image.Resampling.BICUBIC)


@pytest.fixture(scope="module")
def large_jpeg(large):
    return encoded(large, "JPEG", quality=95)


def test_a_draft_has_the_full_size_and_nearly_the_pixels_of_a_full_decode(tmp_path, large_jpeg):
    photograph = read(tmp_path, large_jpeg)
    assert (photograph.width, photograph.height) == (6000, 4000)
    assert photograph.detail.shape == (2000, 3000, 3)
    assert photograph.pixels.shape == (683, 1024, 3)
    full = Image.open(io.BytesIO(large_jpeg)).convert("RGB")
    # Halving in the decoder and by the mean of four differ by rounding and slight ripple.
    halved = np.asarray(full.reduce(2), dtype=np.int16)
    assert np.abs(photograph.detail - halved).mean() < 1
    small = np.asarray(full.resize((1024, 683), Image.Resampling.HAMMING), dtype=np.int16)
    assert np.abs(photograph.pixels - small).mean() < 0.5
    assert np.abs((photograph.pixels - small).mean(axis=(0, 1))).max() < 0.3


def test_detail_does_not_depend_on_the_format(tmp_path, large, large_jpeg):
    jpeg = read(tmp_path, large_jpeg).detail
    tiff = read(tmp_path, encoded(large, "TIFF")).detail
    assert jpeg.shape == tiff.shape
    assert np.abs(jpeg.astype(np.int16) - tiff).mean() < 1.5


def test_a_turned_large_picture_is_reduced_in_its_own_proportions(tmp_path, large):
    exif = Image.Exif()
    exif[0x0112] = 6
    data = encoded(large.resize((6000, 3001)), "JPEG", exif=exif, quality=80)
    photograph = read(tmp_path, data)
    assert (photograph.width, photograph.height) == (3001, 6000)
    assert photograph.detail.shape == (3000, 1501, 3)
    assert photograph.pixels.shape == (1024, 512, 3)


@pytest.mark.parametrize(
    ("full", "detail"),
    [
        ((6000, 4000), (3000, 2000)),
        ((7360, 4912), (3680, 2456)),
        ((4912, 7360), (2456, 3680)),
        ((5472, 3648), (4096, 2731)),
        ((8256, 5504), (4096, 2731)),
        ((12000, 9000), (3000, 2250)),
        ((30000, 200), (3750, 25)),
        ((4096, 4096), (4096, 4096)),
        ((800, 600), (800, 600)),
        ((9000, 1), (4096, 1)),
        ((1, 1), (1, 1)),
    ],
)
def test_sizes_of_detail(full, detail):
    assert detail_size_px(*full) == detail
    assert max(detail) <= DETAIL_SIDE_PX
    assert max(detail) >= min(max(full), DETAIL_ENOUGH_PX)


@pytest.mark.parametrize("size", [(5999, 7), (5000, 3), (7, 6001), (3000, 1), (1, 1), (1025, 640)])
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_odd_sizes_are_read_in_every_format(tmp_path, kind, size):
    photograph = read(tmp_path, encoded(Image.new("RGB", size, (90, 120, 60)), kind))
    assert (photograph.width, photograph.height) == size
    assert photograph.detail.shape[1::-1] == detail_size_px(*size)
    assert max(photograph.pixels.shape[:2]) == min(max(size), WORKING_SIDE_PX)
    assert np.abs(photograph.pixels.astype(int) - (90, 120, 60)).max() <= 2


def test_reducing_adds_no_clipped_pixel(tmp_path):
    """Overshoot at the edge of a bright plate would count as clipped highlights."""
    picture = np.full((1600, 2400, 3), 40, np.uint8)
    picture[400:1200, 700:1700] = 250
    photograph = read(tmp_path, encoded(Image.fromarray(picture), "PNG"))
    assert (photograph.pixels.min(), photograph.pixels.max()) == (40, 250)
