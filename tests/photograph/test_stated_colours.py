"""A picture that states its colours without a profile is read as with the profile that says so."""

import io
import struct

import numpy as np
import piexif
import pytest
from PIL import Image

from auditor.colorimetry import (
    colour_difference,
    h273_encoding,
    srgb_pixels,
)
from auditor.measurements.palette import measure_palette
from auditor.photograph.item_properties import code_points
from tests.conftest import draw_dish
from tests.photograph.icc_profiles import D65, SPACES, encoded_in, matrix_profile, profile_of
from tests.photograph.pictures import colour_fields, encoded, read
from tests.photograph.png_colours import chromaticity_chunk, cicp_chunk, gamma_chunk, png_with

LARGEST_DIFFERENCE = 1.0  # CIEDE2000 of every colour of the palette; about 1 is just noticeable


def table():
    """A dish of orange food, a green and a red thing and a grey ramp, with a photograph's grain."""
    pixels = np.asarray(draw_dish()).copy()
    pixels[40:140, 30:150] = (62, 92, 58)
    pixels[480:580, 300:460] = (150, 52, 44)
    pixels[30:120, 330:450] = np.linspace(20, 235, 120).astype(np.uint8)[:, np.newaxis]
    grain = np.random.default_rng(0).normal(0, 3, pixels.shape)
    return np.clip(np.rint(pixels + grain), 0, 255).astype(np.uint8)


def apart(ours, theirs):
    """Largest CIEDE2000 from a colour of either palette to the nearest of the other."""
    ours, theirs = measure_palette(ours), measure_palette(theirs)
    pairs = np.array([[colour_difference(a.lab, b.lab) for b in theirs] for a in ours])
    return max(pairs.min(axis=0).max(), pairs.min(axis=1).max())


def exif_block(space=0xFFFF, index=b"R03"):
    interoperability = {piexif.InteropIFD.InteroperabilityIndex: index}
    fields = {piexif.ExifIFD.ColorSpace: space}
    return piexif.dump({"Exif": fields, "Interop": interoperability})


def with_code_points(data, primaries, transfer):
    """An AVIF or HEIC with other code points in its colour box."""
    place = data.index(b"colrnclx") + 8
    return data[:place] + struct.pack(">HH", primaries, transfer) + data[place + 4 :]


def check(folder, stated, profiled, as_srgb, name):
    """The stated encoding is named, has the palette of its profile, and is not read as sRGB."""
    first = read(folder, stated)
    assert first.colour_profile == name
    expected = read(folder, profiled).pixels
    assert apart(first.pixels, expected) < LARGEST_DIFFERENCE
    assert apart(read(folder, as_srgb).pixels, expected) > 2 * LARGEST_DIFFERENCE


@pytest.mark.parametrize("kind", ["JPEG", "WEBP"])
def test_r03_is_adobe_rgb(tmp_path, kind):
    wide = encoded_in("Adobe RGB (1998)", table())
    check(
        tmp_path,
        encoded(wide, kind, quality=95, exif=exif_block()),
        encoded(wide, kind, quality=95, icc_profile=profile_of("Adobe RGB (1998)")),
        encoded(wide, kind, quality=95),
        "Adobe RGB (1998) (EXIF, R03)",
    )


def test_a_profile_goes_before_exif(tmp_path):
    wide = encoded_in("Display P3", table())
    profile = profile_of("Display P3")
    data = encoded(wide, "JPEG", exif=exif_block(), icc_profile=profile)
    assert read(tmp_path, data).colour_profile == "Display P3"


@pytest.mark.parametrize(
    ("space", "index", "name"),
    [
        (1, b"R98", "sRGB (EXIF)"),
        (0xFFFF, b"R98", "sRGB (assumed)"),
        (0xFFFF, b"", "sRGB (assumed)"),
    ],
)
def test_other_spaces_of_exif_leave_every_pixel(tmp_path, space, index, name):
    picture = colour_fields()
    photograph = read(tmp_path, encoded(picture, "PNG", exif=exif_block(space, index)))
    assert photograph.colour_profile == name
    assert np.array_equal(photograph.pixels, np.asarray(picture))


def test_gamma_and_chromaticities_of_png(tmp_path):
    wide = encoded_in("Adobe RGB (1998)", table())
    primaries, white, _, _ = SPACES["Adobe RGB (1998)"]
    chunks = gamma_chunk(2 + 51 / 256), chromaticity_chunk(primaries, white)
    check(
        tmp_path,
        png_with(wide, *chunks),
        encoded(wide, "PNG", icc_profile=profile_of("Adobe RGB (1998)")),
        encoded(wide, "PNG"),
        "stated primaries, gamma 2.2 (gAMA, cHRM)",
    )


def test_a_stated_white_is_adapted(tmp_path):
    primaries, white, _, _ = SPACES["ROMM RGB"]
    picture = Image.fromarray(table())

    def curve(code):
        return code**1.8

    check(
        tmp_path,
        png_with(picture, gamma_chunk(1.8), chromaticity_chunk(primaries, white)),
        encoded(picture, "PNG", icc_profile=matrix_profile("Wide", primaries, white, curve)),
        encoded(picture, "PNG"),
        "stated primaries, gamma 1.8 (gAMA, cHRM)",
    )


def test_cicp_of_png(tmp_path):
    wide = encoded_in("Display P3", table())
    check(
        tmp_path,
        png_with(wide, cicp_chunk(12, 13)),
        encoded(wide, "PNG", icc_profile=profile_of("Display P3")),
        encoded(wide, "PNG"),
        "Display P3 (cICP)",
    )


def test_code_points_of_avif(tmp_path):
    wide = encoded_in("Display P3", table())
    plain = encoded(wide, "AVIF", quality=95)
    check(
        tmp_path,
        with_code_points(plain, 12, 13),
        encoded(wide, "AVIF", quality=95, icc_profile=profile_of("Display P3")),
        plain,
        "Display P3 (nclx)",
    )


def test_code_points_of_heic(tmp_path):
    heif = pytest.importorskip("pillow_heif")
    wide = encoded_in("Display P3", table())

    def heic(**options):
        stream = io.BytesIO()
        heif.from_pillow(wide).save(stream, quality=95, **options)
        return stream.getvalue()

    plain = heic()
    profile = profile_of("Display P3")
    stated = with_code_points(plain, 12, 13)
    check(tmp_path, stated, heic(icc_profile=profile), plain, "Display P3 (nclx)")


GAMMA = gamma_chunk(1.0)
SRGB_CHUNK = (b"sRGB", b"\0")


@pytest.mark.parametrize(
    ("chunks", "has_profile", "name"),
    [
        ((cicp_chunk(12, 13), SRGB_CHUNK, GAMMA), True, "Display P3 (cICP)"),
        ((SRGB_CHUNK, GAMMA), True, "Adobe RGB (1998)"),
        ((GAMMA, SRGB_CHUNK), False, "sRGB (sRGB chunk)"),
        ((GAMMA,), False, "sRGB primaries (assumed), gamma 1 (gAMA)"),
        ((cicp_chunk(2, 2), GAMMA), True, "Adobe RGB (1998)"),
        ((cicp_chunk(12, 13, full_range=0),), False, "sRGB (assumed)"),
        ((chromaticity_chunk(((0.3, 0.3),) * 3, D65),), False, "sRGB (assumed)"),
        (((b"gAMA", bytes(4)), (b"cHRM", bytes(32))), False, "sRGB (assumed)"),
    ],
)
def test_the_order_of_the_png_standard(tmp_path, chunks, has_profile, name):
    profile = profile_of("Adobe RGB (1998)") if has_profile else None
    data = png_with(colour_fields(), *chunks, icc_profile=profile)
    assert read(tmp_path, data).colour_profile == name


def test_linear_light_with_primaries_that_enclose_nothing(tmp_path):
    data = png_with(colour_fields(), GAMMA, chromaticity_chunk(((0.3, 0.3),) * 3, D65))
    assert read(tmp_path, data).colour_profile == "sRGB primaries (assumed), gamma 1 (gAMA)"


def test_grey_stays_neutral(tmp_path):
    grey = colour_fields().convert("L")
    pixels = read(tmp_path, png_with(grey, cicp_chunk(9, 14))).pixels
    assert (pixels == pixels[..., :1]).all()
    assert pixels.std() > 0


@pytest.mark.parametrize("cut", [40, 100, 200, 240])
def test_a_damaged_colour_box_is_no_error(cut):
    data = encoded(colour_fields(), "AVIF")
    assert code_points(data) == (1, 13)
    assert code_points(data[:cut]) in (None, (1, 13))


@pytest.mark.parametrize("transfer", [16, 18])
def test_a_page_of_an_hdr_picture_is_white_and_brighter_is_clipped(transfer):
    """ITU-R BT.2408-7, table 1: 203 cd/m² is a code of 0.58 in PQ and of 0.75 in HLG."""
    encoding = h273_encoding(9, transfer)
    page = {16: 0.58, 18: 0.75}[transfer]
    codes = np.rint(np.array([page / 2, page, 1.0])[:, None] * 65535).astype(np.uint16)
    grey = srgb_pixels(np.repeat(codes[:, None], 3, axis=2), encoding)[:, 0, 0]
    assert "white at 203 cd/m²" in encoding.name
    assert grey[0] < 140
    assert grey[1] >= 253
    assert grey[2] == 255
