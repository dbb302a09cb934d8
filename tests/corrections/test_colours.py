"""White point, exposure and saturation, against published numbers and colour-science."""

import warnings

import numpy as np
import pytest

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # colour-science says what it could draw with
    import colour

from auditor.colorimetry import lab_from_linear, linear_from_srgb
from auditor.corrections.colours import exposed, recoloured, saturated

ILLUMINANT_A = np.array([0.44758, 0.40745])  # CIE 15:2018, x and y
D65 = np.array([0.3127, 0.3290])


def grey(code):
    return np.full((4, 5, 3), code, dtype=np.uint8)


def light_of(pixels):
    return linear_from_srgb(pixels / 255)


def temperature_of(pixels):
    """Colour temperature of even pixels in kelvin, by colour-science."""
    xyz = light_of(pixels).reshape(-1, 3).mean(axis=0) @ (
        colour.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ.T
    )
    uv = colour.xy_to_UCS_uv(colour.XYZ_to_xy(xyz))
    return float(colour.temperature.uv_to_CCT_Ohno2013(uv)[0])


def test_one_ev_doubles_linear_light():
    assert exposed(np.array([0.1, 0.2, 0.3]), 1.0) == pytest.approx([0.2, 0.4, 0.6])
    before, after = grey(100), recoloured(grey(100), 0.0, 1.0, 1.0)
    assert light_of(after) == pytest.approx(2 * light_of(before), rel=0.01)  # one code value


def test_what_goes_beyond_white_is_clipped():
    assert (recoloured(grey(220), 0.0, 1.0, 1.0) == 255).all()


def test_nothing_to_do_changes_no_pixel():
    pixels = np.random.default_rng(1).integers(0, 256, (40, 30, 3), dtype=np.uint8)
    assert (recoloured(pixels, 0.0, 0.0, 1.0) == pixels).all()


def test_a_neutral_under_illuminant_a_comes_nearer_to_d65():
    # A grey under illuminant A, as sRGB shows it: its white after adaptation by colour-science.
    xyz = 0.2 * colour.xy_to_XYZ(ILLUMINANT_A)
    light = np.clip(colour.XYZ_to_sRGB(xyz, apply_cctf_encoding=False), 0, 1)
    pixels = np.broadcast_to(
        np.rint(255 * colour.cctf_encoding(light, function="sRGB")), (4, 5, 3)
    ).astype(np.uint8)
    assert temperature_of(pixels) == pytest.approx(2856, rel=0.02)
    # So far from D65, from which the shift starts, its size is only about what was asked.
    before = 1e6 / temperature_of(pixels)
    moved = [before - 1e6 / temperature_of(recoloured(pixels, -m, 0.0, 1.0)) for m in (25, 50, 100)]
    assert moved == sorted(moved)
    assert moved == pytest.approx([25, 50, 100], rel=0.4)


@pytest.mark.parametrize("mired", [-60.0, -20.0, 20.0, 60.0, 120.0])
def test_a_shift_from_d65_is_that_of_colour_science(mired):
    kelvin, duv = colour.temperature.uv_to_CCT_Ohno2013(colour.xy_to_UCS_uv(D65))
    whites = [
        colour.xy_to_XYZ(
            colour.UCS_uv_to_xy(colour.temperature.CCT_to_uv_Ohno2013(np.array([one, duv])))
        )
        for one in (kelvin, 1e6 / (1e6 / kelvin + mired))
    ]
    adapted = colour.adaptation.matrix_chromatic_adaptation_VonKries(*whites, transform="Bradford")
    to_xyz = colour.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ
    rng = np.random.default_rng(3)
    pixels = rng.integers(60, 160, (20, 20, 3), dtype=np.uint8)
    expected = light_of(pixels) @ (np.linalg.inv(to_xyz) @ adapted @ to_xyz).T
    expected = 255 * colour.cctf_encoding(np.clip(expected, 0, 1), function="sRGB")
    after = recoloured(pixels, mired, 0.0, 1.0).astype(float)
    assert np.abs(after - expected).max() < 1.5


def test_warmer_is_redder_and_keeps_the_luminance_of_grey():
    warm = recoloured(grey(128), 30.0, 0.0, 1.0)[0, 0].astype(int)
    assert warm[0] > 128 > warm[2]
    weights = np.array([0.2126, 0.7152, 0.0722])
    assert light_of(warm) @ weights == pytest.approx(light_of(grey(128))[0, 0] @ weights, rel=0.01)


@pytest.mark.parametrize("factor", [0.0, 0.5, 1.3])
def test_saturation_scales_chroma_alone(factor):
    light = light_of(np.random.default_rng(4).integers(90, 150, (30, 3)))
    before, after = lab_from_linear(light), lab_from_linear(saturated(light, factor))
    assert after[:, 0] == pytest.approx(before[:, 0], abs=0.01)
    assert after[:, 1:] == pytest.approx(factor * before[:, 1:], abs=0.02)


def test_a_strong_colour_stays_in_the_gamut_and_keeps_its_lightness():
    light = light_of(np.array([[250, 120, 10], [10, 200, 240], [255, 255, 255]]))
    after = saturated(light, 2.0)
    assert ((after >= 0) & (after <= 1)).all()
    lightness = lab_from_linear(after)[:, 0] - lab_from_linear(light)[:, 0]
    assert np.abs(lightness).max() < 0.5
