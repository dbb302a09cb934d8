"""White balance and saturation of a set, by the readings and by the colours of the others."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from skimage import data

from auditor.colorimetry import LINEAR_FROM_BYTE, XYZ_FROM_LINEAR, shift_mired
from auditor.colorimetry.srgb import srgb_from_linear
from auditor.colour_signature import cells_of, colour_signature
from auditor.measurements.colour_temperature import measure_colour_temperature
from auditor.measurements.palette import measure_colours
from auditor.measurements.tone import measure_tone
from auditor.series.colour.saturation import follow_saturation
from auditor.series.series import describe_series
from tests.factories import measured_photograph

# A photograph that comes with scikit-image, coffee on a wooden table: windows of it are a set.
TABLE = data.coffee()
NOTHING = np.zeros((4, 4), dtype=bool)
N_WINDOWS = 9


def window(k):
    return LINEAR_FROM_BYTE[TABLE[11 * k : 11 * k + 260, 13 * k : 13 * k + 420]].astype(float)


def picture(k, linear):
    pixels = np.rint(srgb_from_linear(np.clip(linear, 0, 1)) * 255).astype(np.uint8)
    cells, colours = cells_of(pixels, NOTHING), measure_colours(pixels, NOTHING, NOTHING)
    return measured_photograph(
        file=f"{k}.jpg",
        colours=colour_signature(cells),
        colour_temperature=measure_colour_temperature(cells),
        palette=colours.palette,
        ground_palette=colours.ground_palette,
        saturation=colours.saturation,
        tone=measure_tone(pixels),
    )


@cache
def unchanged(k):
    return picture(k, window(k))


def a_set(odd=None, change=None):
    return [picture(k, change(window(k))) if k == odd else unchanged(k) for k in range(N_WINDOWS)]


def outliers(pictures, name):
    followed = {quantity.quantity: quantity for quantity in describe_series(pictures).quantities}
    return {outlier.file: outlier for outlier in followed[name].outliers}


def paler(linear):
    grey = (linear @ XYZ_FROM_LINEAR[1])[..., np.newaxis]
    return (linear + grey) / 2


@pytest.mark.parametrize("name", ["colour_temperature", "saturation"])
def test_parts_of_one_table_have_no_outliers(name):
    assert outliers(a_set(), name) == {}


@pytest.mark.parametrize("mired", [-35.0, 35.0])
@pytest.mark.parametrize("odd", [0, 4, 8])
def test_the_picture_with_another_white_is_an_outlier_with_its_shift(odd, mired):
    found = outliers(a_set(odd, lambda linear: shift_mired(linear, mired)), "colour_temperature")
    assert list(found) == [f"{odd}.jpg"]
    assert found[f"{odd}.jpg"].deviation == pytest.approx(mired, abs=8)


@pytest.mark.parametrize("odd", [0, 4, 8])
def test_the_picture_of_half_the_saturation_is_an_outlier(odd):
    found = outliers(a_set(odd, paler), "saturation")
    assert list(found) == [f"{odd}.jpg"]
    assert found[f"{odd}.jpg"].ratio < 0.8


def test_a_picture_with_less_colour_is_no_outlier_if_its_colours_are_those_of_the_others():
    pictures = a_set()
    # Its statistics are of a picture with half the colour, but its colours are those of the others.
    less = replace(pictures[4].saturation, mean_chroma=4.0, median_chroma=3.0, high_chroma=8.0)
    ground = a_set(4, paler)[4].ground_palette
    pictures[4] = replace(pictures[4], saturation=less, ground_palette=ground)
    assert follow_saturation(pictures).outliers == ()
    unknown = [replace(p, colours=type(p.colours).of((), ())) for p in pictures]
    assert [outlier.file for outlier in follow_saturation(unknown).outliers] == ["4.jpg"]


def test_a_picture_with_another_neutral_is_no_outlier_if_its_colours_are_those_of_the_others():
    pictures = a_set()
    own = pictures[4].colour_temperature.value
    warm = replace(
        pictures[4].colour_temperature, value=replace(own, mired=own.mired + 40), confidence=0.9
    )
    pictures[4] = replace(pictures[4], colour_temperature=warm)
    assert outliers(pictures, "colour_temperature") == {}
