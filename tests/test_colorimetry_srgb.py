"""sRGB, CIELAB and CIEDE2000 against IEC 61966-2-1, published pairs and other libraries."""

import numpy as np
import pytest
from skimage.color import rgb2lab

from auditor.colorimetry import (
    LINEAR_FROM_BYTE,
    XYZ_FROM_LINEAR,
    cell_light,
    colour_difference,
    gaussian_weights,
    hex_from_lab,
    lab_from_hex,
    lab_from_pixels,
    lightness_from_luminance,
    linear_from_srgb,
    linear_from_xyz,
    on_grid,
    srgb_from_linear,
    xyz_from_linear,
)

# Sharma, Wu, Dalal: The CIEDE2000 color-difference formula: implementation notes, supplementary
# test data, and mathematical observations (Color Res. Appl. 30, 2005), table 1.
SHARMA_PAIRS = """
50.0000 2.6772 -79.7751 50.0000 0.0000 -82.7485 2.0425
50.0000 3.1571 -77.2803 50.0000 0.0000 -82.7485 2.8615
50.0000 2.8361 -74.0200 50.0000 0.0000 -82.7485 3.4412
50.0000 -1.3802 -84.2814 50.0000 0.0000 -82.7485 1.0000
50.0000 -1.1848 -84.8006 50.0000 0.0000 -82.7485 1.0000
50.0000 -0.9009 -85.5211 50.0000 0.0000 -82.7485 1.0000
50.0000 0.0000 0.0000 50.0000 -1.0000 2.0000 2.3669
50.0000 -1.0000 2.0000 50.0000 0.0000 0.0000 2.3669
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0009 7.1792
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0010 7.1792
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0011 7.2195
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0012 7.2195
50.0000 -0.0010 2.4900 50.0000 0.0009 -2.4900 4.8045
50.0000 -0.0010 2.4900 50.0000 0.0010 -2.4900 4.8045
50.0000 -0.0010 2.4900 50.0000 0.0011 -2.4900 4.7461
50.0000 2.5000 0.0000 50.0000 0.0000 -2.5000 4.3065
50.0000 2.5000 0.0000 73.0000 25.0000 -18.0000 27.1492
50.0000 2.5000 0.0000 61.0000 -5.0000 29.0000 22.8977
50.0000 2.5000 0.0000 56.0000 -27.0000 -3.0000 31.9030
50.0000 2.5000 0.0000 58.0000 24.0000 15.0000 19.4535
50.0000 2.5000 0.0000 50.0000 3.1736 0.5854 1.0000
50.0000 2.5000 0.0000 50.0000 3.2972 0.0000 1.0000
50.0000 2.5000 0.0000 50.0000 1.8634 0.5757 1.0000
50.0000 2.5000 0.0000 50.0000 3.2592 0.3350 1.0000
60.2574 -34.0099 36.2677 60.4626 -34.1751 39.4387 1.2644
63.0109 -31.0961 -5.8663 62.8187 -29.7946 -4.0864 1.2630
61.2901 3.7196 -5.3901 61.4292 2.2480 -4.9620 1.8731
35.0831 -44.1164 3.7933 35.0232 -40.0716 1.5901 1.8645
22.7233 20.0904 -46.6940 23.0331 14.9730 -42.5619 2.0373
36.4612 47.8580 18.3852 36.2715 50.5065 21.2231 1.4146
90.8027 -2.0831 1.4410 91.1528 -1.6435 0.0447 1.4441
90.9257 -0.5406 -0.9208 88.6381 -0.8985 -0.7239 1.5381
6.7747 -0.2908 -2.4247 5.8714 -0.0985 -2.2286 0.6377
2.0776 0.0795 -1.1350 0.9033 -0.0636 -0.5514 0.9082
"""


def sharma_pairs():
    rows = [[float(v) for v in line.split()] for line in SHARMA_PAIRS.strip().splitlines()]
    return [(tuple(r[:3]), tuple(r[3:6]), r[6]) for r in rows]


def test_all_published_pairs_are_listed():
    assert len(sharma_pairs()) == 34


@pytest.mark.parametrize(("first", "second", "published"), sharma_pairs())
def test_ciede2000_gives_the_published_differences(first, second, published):
    assert round(colour_difference(first, second), 4) == pytest.approx(published, abs=1e-9)


def test_ciede2000_agrees_with_colour_science():
    delta_e = pytest.importorskip("colour.difference").delta_E_CIE2000
    for first, second, published in sharma_pairs():
        assert float(delta_e(first, second)) == pytest.approx(published, abs=5e-5)


def test_the_matrix_is_that_of_the_standard():
    # IEC 61966-2-1:1999, equation 7.
    published = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    np.testing.assert_array_equal(XYZ_FROM_LINEAR, published)


def test_white_has_the_chromaticity_of_d65():
    white = xyz_from_linear(np.ones(3))
    x, y = white[:2] / white.sum()
    assert (round(float(x), 4), round(float(y), 4)) == (0.3127, 0.3290)  # IEC 61966-2-1


def test_the_inverse_matrix_agrees_with_the_published_one():
    # IEC 61966-2-1:1999, equation 8; four decimals.
    published = [[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]]
    np.testing.assert_allclose(linear_from_xyz(np.eye(3)).T, published, atol=5e-4)


@pytest.mark.parametrize(
    ("encoded", "linear"),
    # The end of the straight line (IEC 61966-2-1); middle grey 119/255 (from memory).
    [(0.0, 0.0), (0.04045, 0.0031308), (0.5, 0.2140), (119 / 255, 0.1845), (1.0, 1.0)],
)
def test_transfer_function_values(encoded, linear):
    assert float(linear_from_srgb(np.array(encoded))) == pytest.approx(linear, abs=5e-5)
    assert float(srgb_from_linear(np.array(linear))) == pytest.approx(encoded, abs=2e-4)


def test_every_code_value_survives_the_round_trip():
    codes = np.arange(256)
    encoded = srgb_from_linear(LINEAR_FROM_BYTE.astype(np.float64))
    np.testing.assert_array_equal(np.rint(encoded * 255), codes)


def test_transfer_function_agrees_with_colour_science():
    colour_models = pytest.importorskip("colour.models")
    encoded = np.linspace(0, 1, 101)
    np.testing.assert_allclose(
        linear_from_srgb(encoded), colour_models.eotf_sRGB(encoded), atol=1e-12
    )


def test_eighteen_percent_grey_has_lightness_49_5():
    # CIE 15:2018: L* = 116 (Y/Yn)^(1/3) - 16; 49.5 is the value in photographers' handbooks.
    assert round(float(lightness_from_luminance(np.array(0.18))), 1) == 49.5


@pytest.mark.parametrize(
    ("colour", "lab"),
    # Lindbloom's colour calculator, sRGB and D65, from memory.
    [
        ("#ff0000", (53.24, 80.09, 67.20)),
        ("#00ff00", (87.74, -86.18, 83.18)),
        ("#0000ff", (32.30, 79.19, -107.86)),
        ("#ffffff", (100.0, 0.0, 0.0)),
    ],
)
def test_cielab_of_the_primaries(colour, lab):
    np.testing.assert_allclose(lab_from_hex(colour), lab, atol=0.03)
    assert hex_from_lab(lab_from_hex(colour)) == colour


def test_cielab_agrees_with_scikit_image():
    pixels = np.random.default_rng(7).integers(0, 256, (40, 50, 3)).astype(np.uint8)
    # scikit-image uses more digits of the matrix: up to 0.02 units apart, in saturated blue.
    np.testing.assert_allclose(lab_from_pixels(pixels), rgb2lab(pixels), atol=0.03)


def test_hex_round_trip_over_random_colours():
    for code in np.random.default_rng(3).integers(0, 2**24, 200):
        colour = f"#{code:06x}"
        assert hex_from_lab(lab_from_hex(colour)) == colour


def test_a_colour_outside_srgb_is_clipped_without_a_warning():
    assert hex_from_lab((50.0, 120.0, -120.0)).startswith("#")


def test_a_cell_averages_light_not_code_values():
    black_or_white = np.random.default_rng(2).integers(0, 2, (300, 300, 1)) * 255
    light = cell_light(np.repeat(black_or_white, 3, axis=2).astype(np.uint8), 20)
    # Half of the light of white; averaging code values would give 0.21.
    assert float(light.mean()) == pytest.approx(0.5, abs=0.02)


@pytest.mark.parametrize("width", [30, 97, 640])
def test_cells_of_a_mirrored_picture_are_mirrored(width):
    pixels = np.random.default_rng(1).integers(0, 256, (61, width, 3)).astype(np.uint8)
    np.testing.assert_allclose(
        cell_light(pixels[:, ::-1], 29), cell_light(pixels, 29)[:, ::-1], atol=1e-6
    )


def test_a_mask_keeps_its_position_on_a_grid_of_another_size():
    mask = np.zeros((100, 200), dtype=bool)
    mask[:50, 100:] = True
    expected = np.zeros((6, 8), dtype=bool)
    expected[:3, 4:] = True
    np.testing.assert_array_equal(on_grid(mask, 6, 8), expected)


def test_gaussian_weights_read_a_ramp_where_they_are_asked():
    places = np.array([8.0, 10.25, 12.5])
    weights = gaussian_weights(places, 24, 1.5)
    assert weights.sum(axis=1) == pytest.approx(1)
    # The centre of cell k is k + 0.5.
    assert weights @ (np.arange(24) + 0.5) == pytest.approx(places, abs=1e-6)
    spread = np.sqrt(weights[1] @ (np.arange(24) + 0.5 - places[1]) ** 2)
    assert spread == pytest.approx(1.5, abs=1e-3)
    assert gaussian_weights(np.array([1e4]), 24, 0.5)[0, -1] == pytest.approx(1)
