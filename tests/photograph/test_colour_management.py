"""The same picture in other colour spaces comes back as the same sRGB."""

import io

import numpy as np
import pytest
from PIL import Image, ImageCms
from skimage.color import deltaE_ciede2000, rgb2lab

from tests.photograph.icc_profiles import (
    SPACES,
    adobe_curve,
    encoded_in,
    grey_profile,
    profile_of,
    srgb_curve,
)
from tests.photograph.pictures import colour_fields, encoded, largest_difference, read

# Just noticeable is about 1; 8 bits of ROMM RGB, the widest space, leave no less than this.
_MEAN_TOLERANCE = 0.5


def _difference(first, second):
    return deltaE_ciede2000(rgb2lab(first / 255), rgb2lab(second / 255))


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
@pytest.mark.parametrize("name", SPACES)
def test_wide_gamut_profiles_converge_to_the_same_srgb(tmp_path, name, kind):
    picture = np.asarray(colour_fields(n_across=20, n_down=15))
    wide = encoded_in(name, picture)
    photograph = read(tmp_path, encoded(wide, kind, icc_profile=profile_of(name)))
    difference = _difference(photograph.pixels, picture)
    assert photograph.colour_profile == name
    assert difference.mean() < _MEAN_TOLERANCE
    # The same pixels without their profile are clearly different colours.
    without = read(tmp_path, encoded(wide, kind)).pixels
    assert _difference(without, picture).mean() > 4 * max(difference.mean(), 0.25)


@pytest.mark.parametrize("kind", ["JPEG", "WEBP", "AVIF"])
def test_the_profile_is_found_in_every_container(tmp_path, kind):
    picture = np.asarray(colour_fields())
    wide = encoded_in("Display P3", picture)
    options = {"lossless": True} if kind == "WEBP" else {"quality": 98}
    data = encoded(wide, kind, icc_profile=profile_of("Display P3"), **options)
    photograph = read(tmp_path, data)
    assert photograph.colour_profile == "Display P3"
    middles = (slice(10, None, 20), slice(10, None, 20))  # away from the codec's edges
    assert np.median(_difference(photograph.pixels[middles], picture[middles])) < 1


def test_a_profile_of_srgb_leaves_every_pixel(tmp_path):
    picture = colour_fields()
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
    photograph = read(tmp_path, encoded(picture, "PNG", icc_profile=profile.tobytes()))
    assert np.array_equal(photograph.pixels, np.asarray(picture))
    assert photograph.colour_profile.startswith("sRGB")


def test_grey_is_read_by_its_own_curve(tmp_path):
    levels = np.tile(np.arange(256, dtype=np.uint8), (20, 1))
    profile = grey_profile("Grey of 2 51/256", adobe_curve)
    photograph = read(tmp_path, encoded(Image.fromarray(levels), "TIFF", icc_profile=profile))
    light = adobe_curve(np.arange(256) / 255)
    # IEC 61966-2-1
    expected = np.where(
        light <= 0.0031308, light * 12.92, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055
    )
    assert photograph.colour_profile == "Grey of 2 51/256"
    assert np.abs(photograph.pixels[10, :, 0] - expected * 255).max() <= 1.5


def test_a_grey_picture_may_have_a_profile_for_rgb(tmp_path):
    grey = colour_fields().convert("L")
    photograph = read(tmp_path, encoded(grey, "JPEG", icc_profile=profile_of("Display P3")))
    assert photograph.colour_profile == "Display P3"
    # A neutral stays neutral, and the curves of the two are the same.
    as_read = np.asarray(Image.open(io.BytesIO(encoded(grey, "JPEG"))).convert("RGB"))
    assert largest_difference(photograph.pixels, as_read) <= 1


def test_a_profile_that_does_not_fit_is_named_and_not_applied(tmp_path):
    picture = colour_fields()
    profile = grey_profile("Grey", srgb_curve)
    photograph = read(tmp_path, encoded(picture, "PNG", icc_profile=profile))
    assert photograph.colour_profile == "Grey (does not fit the picture), sRGB (assumed)"
    assert np.array_equal(photograph.pixels, np.asarray(picture))


@pytest.mark.parametrize("profile", [b"no profile", profile_of("Display P3")[:200], bytes(400)])
def test_a_broken_profile_is_reported_and_srgb_assumed(tmp_path, profile):
    picture = colour_fields()
    photograph = read(tmp_path, encoded(picture, "PNG", icc_profile=profile))
    assert photograph.colour_profile == "unreadable profile, sRGB assumed"
    assert np.array_equal(photograph.pixels, np.asarray(picture))


@pytest.mark.parametrize("kind", ["TIFF", "JPEG"])
def test_cmyk_without_a_profile_is_converted_by_formula_and_recorded_so(tmp_path, kind):
    picture = Image.new("CMYK", (40, 30), (0, 0, 0, 0))
    picture.paste((0, 255, 255, 0), (20, 0, 40, 30))
    photograph = read(tmp_path, encoded(picture, kind))
    assert photograph.colour_profile == "CMYK without a profile, converted by formula"
    # No ink is white; magenta with yellow is red.
    assert np.abs(photograph.pixels[15, 5].astype(int) - 255).max() <= 2
    assert np.abs(photograph.pixels[15, 35].astype(int) - (255, 0, 0)).max() <= 2


def test_cielab_tiff_is_converted(tmp_path):
    lab = Image.new("LAB", (40, 30), (255, 128, 128))
    lab.paste((128, 128, 128), (20, 0, 40, 30))
    photograph = read(tmp_path, encoded(lab, "TIFF"))
    assert photograph.colour_profile == "CIELAB"
    assert np.abs(photograph.pixels[15, 5].astype(int) - 255).max() <= 1
    lightness = rgb2lab(photograph.pixels[15:16, 35:36] / 255)[0, 0]
    assert lightness == pytest.approx((100 * 128 / 255, 0, 0), abs=0.6)


def test_colour_does_not_depend_on_whether_the_picture_was_reduced(tmp_path):
    small = encoded_in("Adobe RGB (1998)", np.asarray(colour_fields()))
    large = small.resize((small.width * 13, small.height * 13), Image.Resampling.NEAREST)
    profile = profile_of("Adobe RGB (1998)")
    at_once = read(tmp_path, encoded(small, "PNG", icc_profile=profile)).pixels
    reduced = read(tmp_path, encoded(large, "PNG", icc_profile=profile)).pixels
    middle = (np.arange(8) + 0.5) / 8, (np.arange(12) + 0.5) / 12

    def sampled(pixels):
        rows = (middle[0] * pixels.shape[0]).astype(int)
        columns = (middle[1] * pixels.shape[1]).astype(int)
        return pixels[np.ix_(rows, columns)]

    assert largest_difference(sampled(at_once), sampled(reduced)) <= 1
