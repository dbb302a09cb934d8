"""Positions within a border against those in the whole frame."""

from dataclasses import replace

import numpy as np
import pytest

from auditor import measure
from auditor.geometry import Box, Ellipse, Point
from auditor.measurements.whole_frame import in_whole_frame
from auditor.quantity import Quantity
from tests.factories import measured_photograph, region
from tests.finders import SquareFinder

INSIDE = Box(0.1, 0.2, 0.9, 0.8)


def test_positions_move_and_lengths_shrink():
    # 0.8 of 1000 px and 0.6 of 500 px have a diagonal of 854.4 px, the whole one of 1118.0 px.
    rim = Ellipse(Point(0.5, 0.5), (0.2, 0.1), 30.0)
    found = in_whole_frame((Point(0.0, 1.0), Box(0.0, 0.0, 1.0, 1.0), rim), INSIDE, 1000, 500)
    corner, box, ellipse = found
    assert corner == pytest.approx((0.1, 0.8))
    assert box == pytest.approx(INSIDE)
    assert ellipse.centre == pytest.approx((0.5, 0.5))
    assert ellipse.semi_axes == pytest.approx(
        (0.2 * 854.4 / 1118.0, 0.1 * 854.4 / 1118.0), rel=1e-3
    )
    assert ellipse.angle_deg == 30.0


def test_the_whole_frame_changes_nothing():
    picture = measured_photograph()
    assert in_whole_frame(picture, Box(0.0, 0.0, 1.0, 1.0), 1600, 2000) == picture


def test_shares_and_confidences_stay():
    before = measured_photograph()
    after = in_whole_frame(before, INSIDE, 1600, 2000)
    assert after.subject.value.area_fraction == before.subject.value.area_fraction
    assert after.negative_space.value.fraction == before.negative_space.value.fraction
    assert after.subject.confidence == before.subject.confidence
    assert after.palette == before.palette
    thirds = "rule of thirds"
    assert after.technique_fit[thirds].distance < before.technique_fit[thirds].distance


def test_the_spread_of_a_place_shrinks_with_it():
    here = Quantity.measured(region(0.5, 0.5, 0.1), confidence=0.8, tolerance=0.05, spread=0.02)
    after = in_whole_frame(here, INSIDE, 1000, 500)
    assert after.spread == pytest.approx(0.02 * 854.4 / 1118.0, rel=1e-3)
    assert (after.tolerance, after.confidence) == (0.05, 0.8)


def test_maps_cover_the_whole_frame():
    before = replace(measured_photograph(), placed=("9" * 10,) * 10)
    after = in_whole_frame(before, INSIDE, 1600, 2000).placed
    assert after[0] == after[1] == after[8] == after[9] == "0" * 10
    assert after[2:8] == ("0999999990",) * 6


@pytest.fixture
def dish(tmp_path):
    """A dish on a plain table, 600 by 400 px, in a file; with a border on request."""
    from PIL import Image

    rng = np.random.default_rng(1)
    pixels = np.full((400, 600, 3), (150, 120, 90), dtype=np.float64) + rng.normal(
        0, 3, (400, 600, 1)
    )
    rows, columns = np.mgrid[:400, :600]
    plate = (columns - 380) ** 2 + (rows - 180) ** 2 < 90**2
    pixels[plate] = np.array([220, 60, 50]) + rng.normal(0, 12, (int(plate.sum()), 1))
    picture = Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8))

    def save(border=0, colour=(255, 255, 255)):
        path = tmp_path / f"{border}.png"
        framed = Image.new("RGB", (600 + 2 * border, 400 + 2 * border), colour)
        framed.paste(picture, (border, border))
        framed.save(path)
        return path

    return save


@pytest.mark.parametrize("colour", [(255, 255, 255), (0, 0, 0)])
def test_a_border_changes_nothing_but_positions(dish, colour):
    finder = SquareFinder(0.63, 0.45, 0.3)
    plain, framed = measure(dish(), finder=finder), measure(dish(40, colour), finder=finder)
    assert plain.border is None
    # The edge of the picture within may be found a pixel inside.
    inside = (40 / 680, 40 / 480, 640 / 680, 440 / 480)
    assert framed.border.value.inside == pytest.approx(inside, abs=2 / 480)
    assert (framed.width, framed.height) == (680, 480)
    x, y = plain.subject.value.centroid
    expected = ((40 + 600 * x) / 680, (40 + 400 * y) / 480)
    assert framed.subject.value.centroid == pytest.approx(expected, abs=0.005)
    assert framed.negative_space.value.fraction == pytest.approx(
        plain.negative_space.value.fraction, abs=0.02
    )
    assert [s.share for s in framed.palette] == pytest.approx(
        [s.share for s in plain.palette], abs=0.02
    )
    assert framed.tone.exposure_ev == pytest.approx(plain.tone.exposure_ev, abs=0.02)
    assert framed.tone.clipped_highlights == pytest.approx(plain.tone.clipped_highlights, abs=0.002)
