"""Rows that a JPEG's decoder made up are found; borders and plain parts are not taken for them."""

import numpy as np
import pytest
from PIL import Image, ImageOps

from auditor.photograph.undecoded import undecoded_fraction
from tests.photograph.icc_profiles import profile_of
from tests.photograph.pictures import encoded, quarters, read

WIDTH, HEIGHT = 320, 240


@pytest.fixture(scope="module")
def noisy():
    """Every row costs about as many bytes as any other."""
    samples = np.random.default_rng(8).integers(60, 200, (HEIGHT, WIDTH, 3), dtype=np.uint8)
    return Image.fromarray(samples)


def _without_end(data, share_lost):
    """A JPEG that lost the end of its coded data, but not its last marker."""
    start = data.index(b"\xff\xda")
    return data[: start + round((len(data) - start) * (1 - share_lost))] + b"\xff\xd9"


@pytest.mark.parametrize("lost", [0.1, 0.5, 0.9])
@pytest.mark.parametrize("mode", ["RGB", "L", "CMYK"])
def test_the_share_is_that_of_the_data_lost(tmp_path, noisy, mode, lost):
    whole = encoded(noisy.convert(mode), "JPEG", quality=90)
    assert read(tmp_path, whole).undecoded_fraction == 0
    found = read(tmp_path, _without_end(whole, lost)).undecoded_fraction
    assert found == pytest.approx(lost, abs=16 / HEIGHT + 0.02)


def test_bytes_lost_in_the_middle_are_missing_at_the_foot(tmp_path, noisy):
    whole = encoded(noisy, "JPEG", quality=90)
    middle = len(whole) // 2
    damaged = whole[:middle] + whole[middle + len(whole) // 5 :]
    assert read(tmp_path, damaged).undecoded_fraction == pytest.approx(0.2, abs=0.1)


def test_it_is_found_under_a_profile_and_in_a_turned_picture(tmp_path, noisy):
    exif = Image.Exif()
    exif[0x0112] = 6
    options = {"icc_profile": profile_of("Adobe RGB (1998)"), "exif": exif}
    damaged = _without_end(encoded(noisy, "JPEG", quality=90, **options), 0.4)
    photograph = read(tmp_path, damaged)
    assert photograph.undecoded_fraction == pytest.approx(0.4, abs=0.1)
    assert (photograph.width, photograph.height) == (HEIGHT, WIDTH)


def test_it_is_found_in_a_picture_that_is_decoded_at_half_its_size(tmp_path):
    samples = np.random.default_rng(8).integers(60, 200, (400, 6400, 3), dtype=np.uint8)
    damaged = _without_end(encoded(Image.fromarray(samples), "JPEG", quality=60), 0.5)
    photograph = read(tmp_path, damaged)
    assert photograph.detail.shape[1] == 3200
    assert photograph.undecoded_fraction == pytest.approx(0.5, abs=0.1)


@pytest.mark.parametrize("colour", ["white", "black", (128, 128, 128), (90, 90, 90)])
def test_a_border_is_none(tmp_path, noisy, colour):
    bordered = ImageOps.expand(noisy, 30, colour)
    assert read(tmp_path, encoded(bordered, "JPEG")).undecoded_fraction == 0


@pytest.mark.parametrize("colour", ["white", "black", (120, 120, 120), (136, 136, 136)])
def test_a_plain_strip_at_the_foot_is_none(tmp_path, noisy, colour):
    noisy = noisy.copy()
    noisy.paste(colour, (0, HEIGHT - 60, WIDTH, HEIGHT))
    assert read(tmp_path, encoded(noisy, "JPEG", quality=95)).undecoded_fraction == 0


@pytest.mark.parametrize("grey", [0, 127, 128, 255])
def test_a_picture_of_one_grey_is_none(grey):
    for mode in ("L", "RGB", "CMYK", "1"):
        assert undecoded_fraction(Image.new(mode, (80, 60), grey if mode == "L" else None)) == 0
    assert undecoded_fraction(Image.new("RGB", (80, 60), (grey, grey, grey))) == 0


def test_grey_rows_that_are_not_grey_from_side_to_side_are_none():
    picture = quarters(160, 120)
    picture.paste((128, 128, 128), (0, 60, 160, 120))
    assert undecoded_fraction(picture) == 0.5
    picture.putpixel((77, 118), (129, 128, 128))  # between the columns that are looked at first
    assert undecoded_fraction(picture) == 0


def test_only_a_jpeg_is_looked_at(tmp_path):
    picture = quarters(160, 120)
    picture.paste((128, 128, 128), (0, 60, 160, 120))
    assert read(tmp_path, encoded(picture, "PNG")).undecoded_fraction == 0
