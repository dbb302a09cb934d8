"""Colour temperature, Duv and chromatic adaptation against CIE 15 and colour-science."""

import numpy as np
import pytest

from auditor.colorimetry import (
    BRADFORD,
    D65_DUV,
    D65_MIRED,
    bradford_matrix,
    cct_duv_from_uv,
    cct_duv_from_xyz,
    cone_ratios_from_linear,
    kelvin_from_mired,
    linear_from_cone_ratios,
    mired_from_kelvin,
    planckian_uv,
    shift_mired,
    uv_from_cct_duv,
    xy_from_uv,
    xyz_from_linear,
    xyz_from_xy,
)

# CIE 15:2018, tables T.3 (A, D50 to D75) and T.8 (fluorescent lamps, rounded to 10 K by the CIE):
# x, y, CCT in kelvin, tolerance in kelvin (half a unit of the published CCT and of the fourth
# decimal of x and y).
CIE_ILLUMINANTS = {
    "A": (0.44758, 0.40745, 2856, 1),
    "D50": (0.34567, 0.35850, 5003, 3),
    "D55": (0.33242, 0.34743, 5503, 3),
    "D65": (0.31272, 0.32903, 6504, 3),
    "D75": (0.29902, 0.31485, 7504, 4),
    "F2": (0.3721, 0.3751, 4230, 10),
    "F7": (0.3129, 0.3292, 6500, 10),
    "F11": (0.3805, 0.3769, 4000, 10),
}


def uv_of(xy):
    """CIE 1960 (u, v) of CIE 1931 (x, y) (CIE 15:2018, appendix on the 1960 diagram)."""
    x, y = np.moveaxis(xy, -1, 0)
    return np.stack([4 * x, 6 * y], axis=-1) / (-2 * x + 12 * y + 3)[..., np.newaxis]


@pytest.mark.parametrize("name", CIE_ILLUMINANTS)
def test_cct_of_the_illuminants_of_the_cie(name):
    x, y, kelvin, precision = CIE_ILLUMINANTS[name]
    cct_k, _ = cct_duv_from_uv(uv_of(np.array([x, y])))
    assert float(cct_k) == pytest.approx(kelvin, abs=precision)


@pytest.mark.parametrize(
    ("name", "duv"),
    # To four decimals: daylight lies 0.0032 above the locus, illuminant A on it (Ohno 2013).
    # Fluorescent lamps: computed by colour-science.
    [("A", 0.0000), ("D50", 0.0032), ("D65", 0.0032), ("F2", 0.0018), ("F11", 0.0001)],
)
def test_duv_of_the_illuminants_of_the_cie(name, duv):
    x, y = CIE_ILLUMINANTS[name][:2]
    _, found = cct_duv_from_uv(uv_of(np.array([x, y])))
    assert float(found) == pytest.approx(duv, abs=1e-4)


@pytest.mark.parametrize("kelvin", [1700, 2700, 3500, 5000, 6504, 9000, 15000])
@pytest.mark.parametrize("duv", [-0.02, -0.004, 0.0, 0.0015, 0.006, 0.02])
def test_cct_and_duv_survive_the_round_trip(kelvin, duv):
    cct_k, found = cct_duv_from_uv(uv_from_cct_duv(kelvin, duv))
    assert float(cct_k) == pytest.approx(kelvin, rel=5e-5)
    assert float(found) == pytest.approx(duv, abs=2e-6)


# The triangular solution is used below a Duv of 0.002 and is worst there, the parabolic one above.
@pytest.mark.parametrize(
    ("duv", "most_kelvin", "most_mired"),
    [
        (0.0, 0.14, 0.004),
        (0.0019999, 0.43, 0.013),
        (-0.0019999, 0.43, 0.013),
        (0.0020001, 0.14, 0.013),
        (0.02, 0.14, 0.004),
        (-0.02, 0.14, 0.004),
    ],
)
def test_error_up_to_20000_kelvin_is_as_stated(duv, most_kelvin, most_mired):
    # A row of the table is a quarter of a percent wide: at both ends a hundred steps in each.
    ends = (np.geomspace(1005, 1015, 400), np.geomspace(19_800, 20_000, 400))
    kelvin = np.concatenate([np.geomspace(1005, 20_000, 1200), *ends])
    uv = np.stack([uv_from_cct_duv(float(k), duv) for k in kelvin])
    found = cct_duv_from_uv(uv)[:, 0]
    error = np.abs(found - kelvin).max()
    # As stated, and no less: the bound is what is measured, rounded up.
    assert 0.95 * most_kelvin < error < most_kelvin
    assert np.abs(mired_from_kelvin(found) - mired_from_kelvin(kelvin)).max() < most_mired


def test_agrees_with_ohno_2013_and_robertson_1968_of_colour_science():
    temperature = pytest.importorskip("colour.temperature")
    for kelvin in (2000, 3000, 4500, 6500, 10000):
        for duv in (-0.01, 0.0, 0.0035, 0.01):
            uv = uv_from_cct_duv(kelvin, duv)
            ours = cct_duv_from_uv(uv)
            ohno = temperature.uv_to_CCT_Ohno2013(uv)
            robertson = temperature.uv_to_CCT_Robertson1968(uv)
            assert mired_from_kelvin(ours[0]) == pytest.approx(1e6 / ohno[0], abs=0.02)
            assert ours[1] == pytest.approx(ohno[1], abs=2e-5)
            # Robertson's table has only 31 lines: its error is a few tenths of a mired.
            assert mired_from_kelvin(ours[0]) == pytest.approx(1e6 / robertson[0], abs=0.5)
            assert ours[1] == pytest.approx(robertson[1], abs=2e-4)


def test_the_locus_agrees_with_colour_science():
    colour = pytest.importorskip("colour")
    for kelvin in (1500.0, 2856.0, 6500.0, 20000.0):
        published = colour.temperature.CCT_to_uv_Planck1900(
            kelvin, colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
        )
        np.testing.assert_allclose(planckian_uv(kelvin), published, atol=2e-5)


def test_an_array_gives_the_same_as_single_colours():
    uv = np.array([[[0.2, 0.31], [0.25, 0.35]], [[0.19, 0.30], [0.3, 0.34]]])
    together = cct_duv_from_uv(uv)
    for index in np.ndindex(2, 2):
        np.testing.assert_allclose(together[index], cct_duv_from_uv(uv[index]), rtol=1e-12)


def test_a_neutral_picture_reads_about_6504_kelvin():
    cct_k, duv = cct_duv_from_xyz(xyz_from_linear(np.array([0.3, 0.3, 0.3])))
    assert float(cct_k) == pytest.approx(6504, abs=1)
    assert float(duv) == pytest.approx(0.0032, abs=5e-5)


def test_green_is_above_the_locus():
    _, duv = cct_duv_from_xyz(xyz_from_linear(np.array([0.9, 1.0, 0.9])))
    assert duv > D65_DUV


def test_chromaticities_survive_the_round_trip():
    xy = np.array([[0.3127, 0.329], [0.45, 0.41], [0.25, 0.25]])
    np.testing.assert_allclose(xy_from_uv(uv_of(xy)), xy, rtol=1e-12)
    xyz = xyz_from_xy(xy)
    np.testing.assert_allclose(xyz[:, :2] / xyz.sum(axis=1, keepdims=True), xy, rtol=1e-12)


def test_mired_is_its_own_inverse():
    assert mired_from_kelvin(5000) == 200  # by definition
    assert kelvin_from_mired(mired_from_kelvin(6504.0)) == pytest.approx(6504.0)


def test_bradford_from_d65_to_d50_is_the_published_matrix():
    # Lindbloom: chromatic adaptation, D65 to D50 (Bradford); from memory, checked below.
    published = [
        [1.0478112, 0.0228866, -0.0501270],
        [0.0295424, 0.9904844, -0.0170491],
        [-0.0092345, 0.0150436, 0.7521316],
    ]
    d65, d50 = np.array([0.95047, 1.0, 1.08883]), np.array([0.96422, 1.0, 0.82521])
    np.testing.assert_allclose(bradford_matrix(d65, d50), published, atol=2e-6)


def test_bradford_agrees_with_colour_science():
    adaptation = pytest.importorskip("colour.adaptation")
    d65, other = np.array([0.95047, 1.0, 1.08883]), np.array([1.0985, 1.0, 0.3558])
    expected = adaptation.matrix_chromatic_adaptation_VonKries(d65, other, transform="Bradford")
    np.testing.assert_allclose(bradford_matrix(d65, other), expected, atol=1e-7)
    np.testing.assert_allclose(bradford_matrix(d65, other) @ d65, other, rtol=1e-12)
    assert BRADFORD.sum(axis=1) == pytest.approx([1.0001, 1.0, 1.0], abs=1e-4)


@pytest.mark.parametrize("mired", [-80, -35, -5, 0, 5, 35, 80, 150])
def test_a_shift_moves_a_neutral_by_its_amount_along_the_locus(mired):
    shifted = shift_mired(np.array([0.4, 0.4, 0.4]), mired)
    cct_k, duv = cct_duv_from_xyz(xyz_from_linear(shifted))
    assert mired_from_kelvin(float(cct_k)) - D65_MIRED == pytest.approx(mired, abs=0.02)
    assert float(duv) == pytest.approx(D65_DUV, abs=1e-5)
    assert float(xyz_from_linear(shifted)[1]) == pytest.approx(0.4)


def test_warmer_is_redder_and_less_blue():
    red, _, blue = shift_mired(np.ones(3), 35)
    assert red > 1 > blue


def test_a_shift_is_exact_from_a_known_neutral_other_than_d65():
    warm = shift_mired(np.ones(3), 60)
    back = shift_mired(warm, -60, neutral_mired=D65_MIRED + 60)
    np.testing.assert_allclose(back, np.ones(3), atol=1e-9)


def test_a_change_of_white_translates_cone_ratios():
    colours = np.random.default_rng(5).uniform(0.1, 1, (50, 3))
    moved = cone_ratios_from_linear(shift_mired(colours, 40)) - cone_ratios_from_linear(colours)
    np.testing.assert_allclose(moved, np.broadcast_to(moved[0], moved.shape), atol=1e-9)
    np.testing.assert_allclose(cone_ratios_from_linear(np.ones(3)), 0, atol=1e-12)


def test_cone_ratios_are_invertible():
    ratios = np.array([[0.05, -0.2], [-0.1, 0.3]])
    np.testing.assert_allclose(
        cone_ratios_from_linear(linear_from_cone_ratios(ratios)), ratios, atol=1e-12
    )
