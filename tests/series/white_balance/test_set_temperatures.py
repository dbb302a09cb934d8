"""Pictures of one set compared with each other: known changes of white are found."""

import numpy as np
import pytest
from skimage import data

from auditor.colorimetry import LINEAR_FROM_BYTE, mired_from_kelvin, shift_mired
from auditor.colorimetry.srgb import srgb_from_linear
from auditor.colour_signature import (
    cells_of,
    colour_signature,
    mired_from_warmth,
    warmth_from_mired,
)
from auditor.measurements.colour_temperature import measure_colour_temperature
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.series.colour.pairwise_shift import compare, spectrum
from auditor.series.colour.tied_pictures import tie_pictures
from auditor.series.white_balance.set_temperatures import (
    UNTIED_MIRED,
    WELL_TIED_MIRED,
    set_temperatures,
)
from tests.factories import colour_temperature, measured_photograph

# Photographs that come with scikit-image: coffee on a wooden table, a cat, a rocket at dusk.
PHOTOGRAPHS = {"coffee": data.coffee(), "cat": data.chelsea(), "rocket": data.rocket()}
NOTHING = np.zeros((4, 4), dtype=bool)


def shifted(pixels, mired, ev=0.0):
    """Under a light warmer by so many mired: Bradford adaptation in linear light."""
    linear = shift_mired(LINEAR_FROM_BYTE[pixels].astype(float), mired) * 2.0**ev
    return np.rint(srgb_from_linear(np.clip(linear, 0, 1)) * 255).astype(np.uint8)


def temperatures_of(pictures):
    return set_temperatures(pictures, tie_pictures(pictures))


def signature(pixels):
    return colour_signature(cells_of(pixels, NOTHING))


@pytest.mark.parametrize("name", PHOTOGRAPHS)
@pytest.mark.parametrize("mired", [-60.0, -30.0, -15.0, 15.0, 30.0, 60.0])
def test_a_known_change_of_white_is_found(name, mired):
    pixels = PHOTOGRAPHS[name]
    found = compare(spectrum(signature(pixels)), spectrum(signature(shifted(pixels, mired))))
    warmer = mired_from_warmth(found.warmer) - mired_from_warmth(0.0)
    assert warmer == pytest.approx(mired, abs=max(3.0, 0.1 * abs(mired)))
    assert found.similarity > 0.75


@pytest.mark.parametrize("mired", [80.0, 153.85, 250.0, 400.0])
def test_warmth_and_mired_are_each_other_s_inverse(mired):
    assert mired_from_warmth(warmth_from_mired(mired)) == pytest.approx(mired, abs=0.1)


def test_a_change_of_exposure_is_no_change_of_warmth():
    pixels = PHOTOGRAPHS["coffee"]
    found = compare(spectrum(signature(pixels)), spectrum(signature(shifted(pixels, 20.0, -0.7))))
    assert found.warmer == pytest.approx(20.0, abs=4.0)


def test_the_opposite_comparison_has_the_opposite_sign():
    one, other = (spectrum(signature(shifted(PHOTOGRAPHS["cat"], m))) for m in (0.0, 25.0))
    back = -compare(other, one).warmer
    assert compare(one, other).warmer == pytest.approx(back, abs=0.1)


def test_pictures_with_nothing_in_common_are_not_similar():
    similarity = [
        compare(spectrum(signature(PHOTOGRAPHS[a])), spectrum(signature(PHOTOGRAPHS[b]))).similarity
        for a, b in (("coffee", "cat"), ("coffee", "rocket"), ("cat", "rocket"))
    ]
    assert max(similarity) < 0.6


def picture(file, pixels, own=None):
    cells = cells_of(pixels, NOTHING)
    own = measure_colour_temperature(cells) if own is None else own
    return measured_photograph(file=file, colours=colour_signature(cells), colour_temperature=own)


def parts(n):
    """Windows of one photograph: one table, other things in each."""
    pixels = PHOTOGRAPHS["coffee"]
    return [pixels[20 * k : 20 * k + 260, 25 * k : 25 * k + 420] for k in range(n)]


def test_differences_within_a_set_are_better_than_single_pictures():
    shifts = [0.0, 0.0, 30.0, 0.0, -20.0, 0.0]
    pictures = [
        picture(f"{k}.jpg", shifted(pixels, shift))
        for k, (pixels, shift) in enumerate(zip(parts(6), shifts, strict=True))
    ]
    found = temperatures_of(pictures)
    assert all(temperature.is_tied for temperature in found.values())
    level = np.median([found[f"{k}.jpg"].mired for k in (0, 1, 3, 5)])
    relative = [found[f"{k}.jpg"].mired - level for k in range(6)]
    assert relative == pytest.approx(shifts, abs=5.0)


def test_a_picture_without_a_neutral_is_placed_by_its_neighbours():
    pictures = [picture(f"{k}.jpg", pixels) for k, pixels in enumerate(parts(4))]
    nothing = Quantity.undetermined(Reason.NO_NEUTRAL)
    pictures[2] = picture("2.jpg", shifted(parts(4)[2], 30.0), own=nothing)
    found = temperatures_of(pictures)
    rest = np.median([found[f"{k}.jpg"].mired for k in (0, 1, 3)])
    assert found["2.jpg"].mired - rest == pytest.approx(30.0, abs=5.0)


def test_a_picture_unlike_all_others_is_untied_and_has_a_larger_tolerance():
    confident = Quantity.measured(colour_temperature(5000.0), confidence=0.9, tolerance=10.0)
    pictures = [picture(f"{k}.jpg", pixels) for k, pixels in enumerate(parts(4))]
    found = temperatures_of(
        [*pictures, picture("rocket.jpg", PHOTOGRAPHS["rocket"], own=confident)]
    )
    assert not found["rocket.jpg"].is_tied
    assert found["rocket.jpg"].mired == pytest.approx(mired_from_kelvin(5000.0))
    assert found["rocket.jpg"].tolerance == UNTIED_MIRED > found["0.jpg"].tolerance


def test_a_large_set_is_compared_with_the_most_alike_only():
    pictures = [
        picture(f"{k:02d}.jpg", shifted(parts(8)[k % 8], 30.0 if k == 20 else 0.0))
        for k in range(36)
    ]
    found = temperatures_of(pictures)
    rest = np.median([t.mired for file, t in found.items() if file != "20.jpg"])
    assert found["20.jpg"].mired - rest == pytest.approx(30.0, abs=5.0)


def test_a_set_of_none_and_of_one():
    assert temperatures_of([]) == {}
    confident, doubtful = (
        Quantity.measured(colour_temperature(5000.0), confidence=c, tolerance=10.0)
        for c in (0.9, 0.3)
    )
    (alone,) = temperatures_of([picture("a.jpg", PHOTOGRAPHS["coffee"], own=confident)]).values()
    assert not alone.is_tied
    assert temperatures_of([picture("a.jpg", PHOTOGRAPHS["coffee"], own=doubtful)]) == {}


def test_two_frames_of_one_table_are_well_tied():
    first, second = parts(2)
    temperatures = temperatures_of([picture("0.jpg", first), picture("1.jpg", second)])
    assert [t.tolerance for t in temperatures.values()] == [WELL_TIED_MIRED] * 2


@pytest.mark.parametrize("ev", [-1.0, -0.5, 0.3, 1.0])
@pytest.mark.parametrize("name", ["coffee", "cat"])
def test_a_change_of_exposure_is_found_in_what_both_show(name, ev):
    # Darkened first, so that a stop more does not clip. Dark tones share the lowest bin, which
    # takes up to a quarter of a stop.
    first, second = (
        spectrum(signature(shifted(PHOTOGRAPHS[name], 0, change))) for change in (-1.0, ev - 1.0)
    )
    found = compare(first, second)
    assert found.brighter_ev == pytest.approx(ev, abs=0.25)
    assert compare(second, first).brighter_ev == pytest.approx(-found.brighter_ev, abs=0.05)


def test_a_level_that_no_light_has_is_unknown():
    pictures = [picture(f"{k}.jpg", pixels) for k, pixels in enumerate(parts(4))]
    for kelvin, is_known in ((5000.0, True), (100_000.0, False)):
        own = Quantity.measured(colour_temperature(kelvin), confidence=0.9, tolerance=10.0)
        found = temperatures_of([*pictures, picture("r.jpg", PHOTOGRAPHS["rocket"], own=own)])
        assert ("r.jpg" in found) is is_known
