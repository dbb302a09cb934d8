"""Palette, saturation and contrast of a set: drawn sets of one look with one odd picture."""

from dataclasses import asdict

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from auditor.colorimetry import lab_from_hex, linear_from_srgb, srgb_from_linear
from auditor.measurements.palette import measure_colours
from auditor.measurements.tone import measure_tone
from auditor.series.colour.contrast import follow_contrast
from auditor.series.colour.palettes import (
    LIGHTNESS_FACTOR,
    _nearest_elsewhere,
    follow_palettes,
    typical_distances,
)
from auditor.series.colour.saturation import follow_saturation
from auditor.series.series import describe_series
from tests.factories import measured_photograph, swatch, tone

FOODS = [(196, 110, 40), (120, 72, 38), (206, 178, 120), (92, 104, 52)]


def table(rng, gain=1.0):
    """A pale table with two dishes of a few foods, in slightly different light."""
    height, width = 200, 160
    y, x = np.mgrid[:height, :width]
    pixels = np.full((height, width, 3), (186, 174, 156), dtype=np.float64)
    for middle in (50, 145):
        cx, cy, radius = rng.uniform(50, 110), middle + rng.uniform(-10, 10), rng.uniform(30, 42)
        away = np.hypot(x - cx, y - cy)
        pixels[away < radius] = (226, 222, 214)
        pixels[away < radius * 0.7] = FOODS[rng.integers(len(FOODS))]
    light = linear_from_srgb(pixels / 255) * gain * 2 ** rng.normal(0, 0.06)
    shown = np.clip(srgb_from_linear(np.clip(light, 0, 1)), 0, 1) * 255
    return np.clip(np.rint(shown + rng.normal(0, 3, shown.shape)), 0, 255).astype(np.uint8)


def picture(pixels, file):
    nothing = np.zeros((20, 16), dtype=np.bool_)
    colours = measure_colours(pixels, nothing, nothing)
    return measured_photograph(
        file=file,
        palette=colours.palette,
        saturation=colours.saturation,
        tone=measure_tone(pixels),
    )


def outliers(pictures, quantities=None):
    if quantities is None:
        quantities = [follow(pictures) for follow in (follow_contrast, follow_saturation)]
        quantities.append(follow_palettes(pictures))
    return {
        (outlier.file, quantity.quantity): outlier
        for quantity in quantities
        for outlier in quantity.outliers
    }


def odd_one_out(seed, change):
    """Outliers of a drawn set of 8 to 40 pictures, before and after one is changed."""
    rng = np.random.default_rng(seed)
    pixels = [table(rng) for _ in range(rng.integers(8, 41))]
    pictures = [picture(p, f"{i}.jpg") for i, p in enumerate(pixels)]
    odd = int(rng.integers(len(pixels)))
    changed = list(pictures)
    changed[odd] = picture(change(pixels[odd]), f"{odd}.jpg")
    return outliers(pictures), outliers(changed), f"{odd}.jpg", len(pictures)


def with_blue(pixels):
    covered = pixels.copy()
    covered[20:84, 40:80] = (30, 90, 200)  # 64 by 40 of 200 by 160 pixels: 8 %
    return covered


def paler(pixels):
    light = linear_from_srgb(pixels / 255)
    grey = (light @ [0.2126, 0.7152, 0.0722])[..., np.newaxis]
    return np.rint(srgb_from_linear((light + grey) / 2) * 255).astype(np.uint8)


@pytest.mark.parametrize("seed", range(6))
def test_a_foreign_colour_on_a_twelfth_of_the_frame_is_an_outlier(seed):
    before, after, odd, n = odd_one_out(seed, with_blue)
    assert len(before) <= n / 20, before
    foreign = after[odd, "palette"].foreign
    assert foreign.strongest.share == pytest.approx(0.08, abs=0.005)
    assert deltaE_ciede2000(foreign.strongest.lab, lab_from_hex("#1e5ac8")) < 3
    assert foreign.share >= foreign.strongest.share
    assert not foreign.is_whole_picture


@pytest.mark.parametrize("seed", range(6, 12))
def test_halved_saturation_is_an_outlier(seed):
    before, after, odd, n = odd_one_out(seed, paler)
    assert len(before) <= n / 20, before
    found = after[odd, "saturation"]
    assert found.deviation < 0
    assert 0.3 < found.ratio < 0.8  # drawn with half


def test_a_dark_picture_is_reported_once():
    # All its colours are foreign, and its exposure explains them.
    def darker(pixels):
        light = linear_from_srgb(pixels / 255) * 2**-1.5
        return np.rint(srgb_from_linear(light) * 255).astype(np.uint8)

    rng = np.random.default_rng(20)
    pixels = [table(rng) for _ in range(9)]
    pictures = [picture(p, f"{i}.jpg") for i, p in enumerate([*pixels, darker(pixels[0])])]
    found = outliers(pictures, describe_series(pictures).quantities)
    assert list(found) == [("9.jpg", "exposure")]


def test_the_spread_of_a_set_grows_with_its_variety():
    alike = [(swatch("#d8d2c4", 0.7 + i / 100), swatch("#e08a1e", 0.3 - i / 100)) for i in range(8)]
    others = [
        "#e08a1e",
        "#2f4a3c",
        "#5b7c99",
        "#7a2b2b",
        "#c9b458",
        "#333333",
        "#8e6bb0",
        "#ffffff",
    ]
    varied = [(swatch("#d8d2c4", 0.7), swatch(colour, 0.3)) for colour in others]
    places = range(8)
    assert max(typical_distances(alike, places)) < 0.3 * min(typical_distances(varied, places))


def test_a_large_set_is_measured_by_a_part_of_its_pairs():
    rng = np.random.default_rng(3)
    palettes = []
    for _ in range(60):
        share = float(rng.uniform(0.4, 0.8))
        palettes.append((swatch("#d8d2c4", share), swatch("#e08a1e", 1 - share)))
    some = typical_distances(palettes, range(60))
    assert len(some) == 60
    shares = np.array([palette[0].share for palette in palettes])
    apart = np.median(np.abs(shares[:, np.newaxis] - shares), axis=1)
    assert np.corrcoef(some, apart)[0, 1] > 0.8


def test_the_nearest_colour_elsewhere_is_that_of_all_pairs():
    rng = np.random.default_rng(1)
    labs = rng.uniform([20, -60, -60], [90, 60, 60], (240, 3))
    owner = np.repeat(np.arange(48), 5)
    pairs = deltaE_ciede2000(labs[:, np.newaxis], labs[np.newaxis], kL=LIGHTNESS_FACTOR)
    pairs[owner[:, np.newaxis] == owner] = np.inf
    found = _nearest_elsewhere(labs, owner, np.ones(len(labs), dtype=bool))
    assert np.quantile(np.abs(found - pairs.min(axis=1)), 0.95) < 0.5


def test_two_pictures_have_no_palette_of_the_set():
    followed = follow_palettes([measured_photograph(file=f"{i}.jpg") for i in range(2)])
    assert (followed.values, followed.centre, followed.spread) == ((), None, None)


def test_a_flat_picture_has_less_contrast_throughout():
    tones = [tone(contrast=60.0 + i, midtone_contrast=24.0 - i) for i in range(8)]
    flat = tone(contrast=22.0, midtone_contrast=7.0)
    busy = tone(contrast=22.0, midtone_contrast=24.0)
    for odd, is_outlier in ((flat, True), (busy, False)):
        pictures = [
            measured_photograph(file=f"{i}.jpg", tone=one) for i, one in enumerate([*tones, odd])
        ]
        assert (("8.jpg", "contrast") in outliers(pictures)) is is_outlier


def test_a_picture_of_another_table_is_foreign_as_a_whole():
    usual = (swatch("#d8d2c4", 0.6), swatch("#e08a1e", 0.4))
    other = (swatch("#1e5ac8", 0.6), swatch("#0b2e13", 0.4))
    pictures = [measured_photograph(file=f"{i}.jpg", palette=usual) for i in range(8)]
    pictures.append(measured_photograph(file="8.jpg", palette=other))
    (outlier,) = follow_palettes(pictures).outliers
    assert outlier.file == "8.jpg"
    assert outlier.foreign.is_whole_picture
    assert asdict(outlier)["foreign"]["is_whole_picture"] is True
    assert follow_palettes(pictures, explained={"8.jpg"}).outliers == ()
