"""A set described again after some of its pictures were changed."""

from dataclasses import replace

import numpy as np
import pytest

from auditor.colour_signature import ColourSignature
from auditor.quantity import Quantity
from auditor.series.colour import compared_pairs, leave_one_out, palettes, partners
from auditor.series.series import describe_changed, describe_series, describe_set
from tests.factories import colour_temperature, swatch, tone
from tests.series.made_pictures import picture

N_PICTURES = 60
CHANGED = (3, 17, 18, 44)
COLOURS_OF_TABLES = ("#e08a1e", "#2f4a3c", "#d8d2c4")


def signature(table, rng, warmer_bins=0):
    """The colours of a table, with noise."""
    own = np.random.default_rng(table)
    bins = np.sort(own.choice(np.arange(20000, 50000), 80, replace=False))
    weights = own.integers(50, 400, bins.size) + rng.integers(0, 40, bins.size)
    return ColourSignature.of(bins + warmer_bins, weights)


def varied(place, rng, warmer=0, brighter=0.0):
    table = place % 3
    shot = colour_temperature(1e6 / (170 + rng.normal(0, 2) + 5 * warmer))
    ground, food = COLOURS_OF_TABLES[table], COLOURS_OF_TABLES[(table + 1) % 3]
    share = float(rng.uniform(0.4, 0.7))
    return picture(
        f"{place}.jpg",
        table=table,
        palette=(swatch(ground, share), swatch(food, 1 - share)),
        tone=tone(exposure_ev=rng.normal(0, 0.05) + brighter, contrast=50 + rng.normal(0, 1)),
        colour_temperature=Quantity.measured(shot, confidence=0.9, tolerance=10.0),
    )


@pytest.fixture
def before_and_after():
    rng = np.random.default_rng(5)
    before = [
        replace(varied(place, rng), colours=signature(place % 3, rng))
        for place in range(N_PICTURES)
    ]
    after = [
        replace(varied(place, rng, 8, 1.5), colours=signature(place % 3, rng, 8))
        if place in CHANGED
        else one
        for place, one in enumerate(before)
    ]
    return before, after


@pytest.fixture
def counted(monkeypatch):
    """How often two spectra are compared and a picture is held against all others."""
    calls = {"pairs": 0, "pictures": 0, "palettes": 0}

    def count(module, name, key, size=lambda *_: 1):
        original = getattr(module, name)

        def call(*args, **kwargs):
            calls[key] += size(*args)
            return original(*args, **kwargs)

        monkeypatch.setattr(module, name, call)

    count(compared_pairs, "compare", "pairs")
    count(leave_one_out, "likeliest_change", "pictures")
    count(palettes, "palette_distances", "palettes", len)
    return calls


@pytest.fixture
def large(monkeypatch):
    """The set counts as a large one."""
    monkeypatch.setattr(partners, "EXACT_UP_TO", 20)
    monkeypatch.setattr(leave_one_out, "ALL_AGAIN_UP_TO", 20)
    monkeypatch.setattr(palettes, "ALL_AGAIN_UP_TO", 20)


def found(series):
    return {(o.file, q.quantity) for q in series.quantities for o in q.outliers}


def test_a_small_set_is_described_as_if_anew(before_and_after):
    before, after = before_and_after
    again = describe_changed(describe_set(before), after)
    anew = describe_series(after)
    assert found(anew) != found(describe_series(before))
    assert again.quantities == anew.quantities
    assert again.colour_temperatures == anew.colour_temperatures
    assert again.colour_temperature_clusters == anew.colour_temperature_clusters


@pytest.mark.usefixtures("large")
def test_in_a_large_set_the_same_pictures_are_outliers(before_and_after):
    before, after = before_and_after
    again = describe_changed(describe_set(before), after)
    anew = describe_series(after)
    assert {(f"{place}.jpg", "exposure") for place in CHANGED} <= found(again)
    assert found(again) == found(anew)
    known = {one.file: one.mired for one in again.colour_temperatures}
    assert known == pytest.approx(
        {one.file: one.mired for one in anew.colour_temperatures}, abs=1.0
    )


@pytest.mark.usefixtures("large")
def test_in_a_large_set_only_what_changed_is_computed_again(before_and_after, counted):
    before, after = before_and_after
    described = describe_set(before)
    first = dict(counted)
    assert all(first.values())
    describe_changed(described, before)
    assert counted == first
    describe_changed(described, after)
    again = {key: counted[key] - first[key] for key in first}
    assert again["pictures"] <= 2 * len(CHANGED)
    assert again["palettes"] <= palettes.PARTNERS * len(CHANGED)
    assert 0 < again["pairs"] < first["pairs"] / 3
