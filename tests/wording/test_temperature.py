"""Warmer and cooler must not be confused: what is advised is done, as a raw developer does it."""

import re

import pytest

from auditor.wording.temperature import (
    shift_back_words,
    shift_words,
    shifted_kelvin,
    temperature_words,
    warmer_words,
)

colour = pytest.importorskip("colour")

D65_XY = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]


def daylight_xyz(kelvin):
    """White of daylight (CIE 15, daylight locus), after colour-science."""
    return colour.xy_to_XYZ(colour.temperature.CCT_to_xy_CIE_D(kelvin))


def developed_mired(lit_by_kelvin, set_to_kelvin):
    """Mired of a grey card in the finished picture, whose white is D65.

    The developer takes the light that it is set to for white and adapts it to D65 (Bradford).
    """
    grey = colour.adaptation.chromatic_adaptation_VonKries(
        daylight_xyz(lit_by_kelvin),
        daylight_xyz(set_to_kelvin),
        colour.xy_to_XYZ(D65_XY),
        transform="Bradford",
    )
    uv = colour.UCS_to_uv(colour.XYZ_to_UCS(grey))
    return 1e6 / colour.uv_to_CCT(uv, method="Ohno 2013")[0]


@pytest.mark.parametrize("shift", [-38.0, -20.0, 15.0, 38.0, 60.0])
def test_the_example_shifts_a_picture_by_the_amount_given(shift):
    words = shift_words(shift, "it")
    assert words.startswith("warm it by" if shift > 0 else "cool it by")
    start, end = (float(kelvin) for kelvin in re.findall(r"(\d+) K", words))
    shifted = developed_mired(start, end) - developed_mired(start, start)
    # An example, rounded to 50 K: adaptation stretches mired by up to a tenth on its way.
    assert shifted == pytest.approx(shift, abs=2.0 + 0.1 * abs(shift))


def test_more_mired_is_warmer():
    assert warmer_words(38.2, "than planned") == "warmer than planned (38 mired)"
    assert warmer_words(-38.2, "than planned") == "cooler than planned (38 mired)"
    assert developed_mired(5000.0, 5500.0) > developed_mired(5500.0, 5500.0)


def test_the_amount_is_given_once():
    assert shift_words(-38.0, "them").startswith("cool them by 38 mired (")
    assert shift_back_words(38.0, "it").startswith("warm it by as much (")


def test_beyond_every_control_no_example_is_given():
    assert shift_words(1e6 / 5000 + 1, "it") == "warm it by 201 mired"


@pytest.mark.parametrize(
    ("kelvin", "mired"),
    # D50 rounded, D65, illuminant A (CIE 15) and a lamp; mired is defined as a million over kelvin.
    [(5000.0, 200.0), (6504.0, 153.75), (2856.0, 350.14), (4000.0, 250.0)],
)
def test_mired_is_a_million_over_kelvin(kelvin, mired):
    assert 1e6 / kelvin == pytest.approx(mired, abs=0.01)
    assert shifted_kelvin(kelvin, 0.0) == pytest.approx(kelvin)


def test_a_picture_too_warm_is_developed_at_a_lower_setting():
    # 33 mired too warm at 5000 K: 1e6 / (200 + 33).
    assert shifted_kelvin(5000.0, -33.0) == pytest.approx(4291.8, abs=0.1)
    assert "from 5000 K to about 4300 K, or the same 33 mired" in shift_words(-33.0, "it")
    # The same step elsewhere is another number of kelvin, so a step in kelvin would not do.
    assert 5000 - shifted_kelvin(5000.0, -33.0) > 3200 - shifted_kelvin(3200.0, -33.0) > 0


@pytest.mark.parametrize("kelvin", [4800.0, 5000.0, 6500.0, 7500.0])
@pytest.mark.parametrize("shift", [-33.0, 20.0])
def test_the_step_has_its_effect_from_every_setting(kelvin, shift):
    """Held against colour-science: a grey card developed at either setting."""
    set_to = shifted_kelvin(kelvin, shift)
    moved = developed_mired(kelvin, set_to) - developed_mired(kelvin, kelvin)
    assert moved == pytest.approx(shift, abs=2.0 + 0.1 * abs(shift))
    assert (moved > 0) == (shift > 0)


def test_words_for_how_warm_a_picture_looks_follow_its_mired():
    words = [temperature_words(mired) for mired in (90, 120, 154, 200, 300)]
    assert words == ["very cool", "cool", "neutral", "warm", "very warm"]
