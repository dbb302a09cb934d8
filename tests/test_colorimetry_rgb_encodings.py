"""RGB encodings against colour-science, which has them from the same standards."""

import warnings

import numpy as np
import pytest

from auditor.colorimetry import ADOBE_RGB, SRGB, h273_encoding, linear_srgb_matrix, srgb_pixels
from auditor.colorimetry.rgb_encodings import PRIMARIES
from auditor.colorimetry.transfer_functions import TRANSFER_FUNCTIONS

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it names optional packages that are missing
    import colour
    from colour.models import rgb

# 10 and 22 have no counterpart there: H.273 gives 22 other values than the document it names.
SPACES = {
    1: "ITU-R BT.709",
    4: "ITU-R BT.470 - 525",
    5: "ITU-R BT.470 - 625",
    6: "SMPTE C",
    9: "ITU-R BT.2020",
    11: "DCI-P3",
    12: "Display P3",
}

# What is 1 here is, in cd/m² or in its own unit, this there.
CURVES = {
    1: (rgb.oetf_inverse_BT709, 1.0),
    7: (rgb.eotf_SMPTE240M, 1.0),
    13: (rgb.eotf_sRGB, 1.0),
    14: (rgb.oetf_inverse_BT2020, 1.0),
    16: (rgb.eotf_ST2084, 203.0),
    17: (rgb.eotf_DCDM, 48.0),
    18: (rgb.oetf_inverse_BT2100_HLG, 1.0),
}


@pytest.mark.parametrize(("number", "name"), SPACES.items())
def test_primaries(number, name):
    space = colour.RGB_COLOURSPACES[name]
    _, primaries = PRIMARIES[number]
    assert np.allclose(primaries[:3], space.primaries, atol=1e-9)
    assert np.allclose(primaries.white, space.whitepoint, atol=1e-3)


@pytest.mark.parametrize("number", CURVES)
def test_transfer_functions(number):
    theirs, unit = CURVES[number]
    codes = np.linspace(0, 1, 257)
    light = TRANSFER_FUNCTIONS[number][1](codes)
    assert np.allclose(light, theirs(codes) / unit, rtol=2e-3, atol=2e-4)


@pytest.mark.parametrize("number", TRANSFER_FUNCTIONS)
def test_light_never_falls(number):
    light = TRANSFER_FUNCTIONS[number][1](np.linspace(0, 1, 1001))
    assert np.isfinite(light).all()
    assert light[0] == pytest.approx(0, abs=1e-6)
    assert (np.diff(light) >= -1e-12).all()


@pytest.mark.parametrize(
    ("encoding", "name"),
    [(ADOBE_RGB, "Adobe RGB (1998)"), (h273_encoding(12, 13), "Display P3")],
)
def test_pixels_are_converted_as_by_colour_science(encoding, name):
    codes = np.random.default_rng(1).integers(0, 256, (40, 50, 3), dtype=np.uint8)
    expected = colour.RGB_to_RGB(
        codes / 255,
        colour.RGB_COLOURSPACES[name],
        colour.RGB_COLOURSPACES["sRGB"],
        chromatic_adaptation_transform="Bradford",
        apply_cctf_decoding=True,
        apply_cctf_encoding=True,
    )
    expected = np.clip(expected, 0, 1) * 255
    assert np.abs(srgb_pixels(codes, encoding) - expected).max() < 1


def test_16_bits_and_8_bits_agree():
    codes = np.random.default_rng(1).integers(0, 256, (70, 50, 3), dtype=np.uint8)
    deep = codes.astype(np.uint16) * 257
    assert np.array_equal(srgb_pixels(codes, ADOBE_RGB), srgb_pixels(deep, ADOBE_RGB))


def test_srgb_is_its_own():
    codes = np.random.default_rng(1).integers(0, 256, (40, 50, 3), dtype=np.uint8)
    assert np.array_equal(srgb_pixels(codes, SRGB), codes)


@pytest.mark.parametrize("primaries", [value for _, value in PRIMARIES.values()])
def test_white_is_white(primaries):
    matrix = linear_srgb_matrix(primaries)
    assert np.allclose(matrix @ np.ones(3), 1, atol=1e-9)


@pytest.mark.parametrize("points", [(2, 13), (1, 2), (3, 13), (255, 0)])
def test_unspecified_and_reserved_code_points_say_nothing(points):
    assert h273_encoding(*points) is None
