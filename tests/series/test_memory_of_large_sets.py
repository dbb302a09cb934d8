"""No table of all pairs is made of a large set."""

import tracemalloc
from dataclasses import replace

import numpy as np
import pytest

from auditor.quantity import Quantity
from auditor.series import duplicates, groups
from auditor.series.colour import partners
from auditor.series.colour.partners import _nearest
from tests.factories import measured_photograph, swatch

N_PICTURES = 3000


BASE = measured_photograph()


def a_picture(place, rng):
    colour = "#" + bytes(rng.integers(0, 256, 3, dtype=np.uint8)).hex()
    return replace(
        BASE,
        file=f"{place}.jpg",
        fingerprint=rng.bytes(384).hex(),
        surface=Quantity.measured(swatch(colour, 0.5), confidence=0.9, tolerance=5.0),
    )


def find_near_duplicates(monkeypatch, pictures):
    monkeypatch.setattr(duplicates, "PICTURES_AT_ONCE", 8)
    return lambda: duplicates.find_duplicates(pictures)


def group(monkeypatch, pictures):
    monkeypatch.setattr(groups, "MOST_COLOURS", 64)
    return lambda: groups.group_by_surface(pictures)


def find_partners(monkeypatch, pictures):
    monkeypatch.setattr(partners, "ROWS_AT_ONCE", 8)
    vectors = np.random.default_rng(2).random((len(pictures), 16)).astype(np.float32)
    return lambda: _nearest(vectors, np.arange(len(pictures)))


@pytest.mark.parametrize(
    ("step", "bytes_of_a_pair"), [(find_near_duplicates, 8), (group, 8), (find_partners, 4)]
)
def test_the_peak_is_below_a_table_of_all_pairs(monkeypatch, step, bytes_of_a_pair):
    rng = np.random.default_rng(1)
    pictures = [a_picture(place, rng) for place in range(N_PICTURES)]
    run = step(monkeypatch, pictures)
    tracemalloc.start()
    try:
        run()
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert peak < 0.9 * N_PICTURES**2 * bytes_of_a_pair
