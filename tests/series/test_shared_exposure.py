"""Exposure over what pictures share, on photographs that come with scikit-image."""

import numpy as np
import pytest
from skimage import data

from auditor.colorimetry import LINEAR_FROM_BYTE
from auditor.colorimetry.srgb import srgb_from_linear
from auditor.colour_signature import cells_of, colour_signature
from auditor.measurements.tone import measure_tone
from auditor.series.colour.tied_pictures import tie_pictures
from auditor.series.shared_exposure import LOOSELY_TIED_EV, UNTIED_EV, shared_exposures
from tests.factories import measured_photograph


def part(file, rows, columns, ev=0.0, source="coffee"):
    """A part of a photograph, developed brighter or darker."""
    pixels = getattr(data, source)()[rows, columns]
    linear = LINEAR_FROM_BYTE[pixels].astype(float) * 2.0**ev
    developed = np.rint(srgb_from_linear(np.clip(linear, 0, 1)) * 255).astype(np.uint8)
    nothing = np.zeros((4, 4), dtype=bool)
    return measured_photograph(
        file=file,
        colours=colour_signature(cells_of(developed, nothing)),
        tone=measure_tone(developed),
    )


ALL = slice(None)
VIEWS = (
    ("a.jpg", ALL, ALL),
    ("b.jpg", slice(0, 300), ALL),
    ("c.jpg", slice(60, 400), slice(0, 400)),
    ("d.jpg", slice(100, 400), slice(100, 600)),
    ("e.jpg", ALL, slice(0, 450)),
)


def exposures_of(pictures):
    return shared_exposures(pictures, tie_pictures(pictures))


def spread(values):
    return np.std([*values], ddof=1)


def test_views_of_one_table_agree_better_than_their_means():
    pictures = [part(*view) for view in VIEWS]
    shared = [reading.value for reading in exposures_of(pictures).values()]
    means = [picture.tone.exposure_ev for picture in pictures]
    assert spread(shared) < 0.5 * spread(means)


def test_one_developed_darker_stands_apart_by_as_much():
    pictures = [part(*view, ev=-0.8 if view[0] == "c.jpg" else 0.0) for view in VIEWS]
    found = exposures_of(pictures)
    others = [reading.value for file, reading in found.items() if file != "c.jpg"]
    assert found["c.jpg"].value - np.median(others) == pytest.approx(-0.8, abs=0.25)
    assert found["c.jpg"].tolerance <= LOOSELY_TIED_EV


def test_a_picture_that_shares_nothing_is_hardly_trusted():
    pictures = [*(part(*view) for view in VIEWS), part("x.jpg", ALL, ALL, source="rocket")]
    found = exposures_of(pictures)
    assert found["x.jpg"].tolerance == UNTIED_EV
    assert found["x.jpg"].value == pytest.approx(pictures[-1].tone.exposure_ev)


def test_no_pictures():
    assert exposures_of([]) == {}


def test_pictures_that_share_nothing_have_no_shared_exposure():
    sources = ("coffee", "rocket", "astronaut", "chelsea")
    pictures = [part(f"{name}.jpg", ALL, ALL, source=name) for name in sources]
    assert exposures_of(pictures) == {}
