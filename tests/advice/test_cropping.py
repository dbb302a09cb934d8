"""Crops whose effect is calculated by hand."""

import pytest

from auditor.advice.cropping import best_crop, cropped
from auditor.comparison.compare import compare
from auditor.geometry import Box, Point
from auditor.measurements.technique_fit import fit_techniques
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Shot
from auditor.quantity import Quantity
from auditor.vocabulary.places import zone_of_place
from tests.factories import measured_photograph, region
from tests.intents import intent_with, thing


def picture(x, y, area=0.04):
    return measured_photograph(
        subject=Quantity.measured(region(x, y, area), confidence=0.97, tolerance=0.03),
        elements=(),
        technique_fit=fit_techniques(Point(x, y), 1600, 2000),
    )


def shot(**intent):
    return Shot("a shot", ("*",), intent_with(**intent))


def advice_for(measured, wanted):
    return best_crop(
        measured, wanted, compare(wanted, measured, DEFAULT_TOLERANCES), DEFAULT_TOLERANCES
    )


def test_positions_after_a_crop_are_fractions_of_the_rest():
    after = cropped(picture(0.6, 0.5), Box(0.2, 0.0, 1.0, 1.0))
    assert after.subject.value.centroid == pytest.approx((0.5, 0.5))
    assert after.subject.value.area_fraction == pytest.approx(0.04 / 0.8)
    assert (after.width, after.height) == (1280, 2000)


def test_a_subject_off_its_place_is_brought_back():
    measured = picture(0.5, 0.5)
    crop = advice_for(measured, shot(subject=thing(at=Point(1 / 3, 1 / 3))))
    assert crop is not None
    assert "subject" in crop.reaches
    moved = cropped(measured, crop.box).subject.value.centroid
    assert abs(moved.x - 1 / 3) + abs(moved.y - 1 / 3) < 2 * DEFAULT_TOLERANCES.subject * 1.42
    # The frame keeps its shape: 4:5 in, 4:5 out.
    assert (crop.box.right - crop.box.left) == pytest.approx(crop.box.bottom - crop.box.top)


def test_a_crop_to_a_zone_leaves_the_rest_where_it_is():
    zone = zone_of_place("upper right", None)
    measured = picture(0.8, 0.5)
    in_words = advice_for(measured, shot(subject=thing(at=zone.point, zone=zone)))
    at_point = advice_for(measured, shot(subject=thing(at=zone.point)))
    assert in_words.reaches == ("subject",)
    moved = cropped(measured, in_words.box).subject.value.centroid
    assert zone.distance(moved, 1600, 2000) <= DEFAULT_TOLERANCES.subject
    assert at_point is None or in_words.box.area_fraction >= at_point.box.area_fraction


def test_nothing_missed_needs_no_crop():
    assert advice_for(picture(1 / 3, 1 / 3), shot(subject=thing(at=Point(1 / 3, 1 / 3)))) is None


def test_a_wrong_aspect_ratio_is_cropped_to_the_planned_one():
    crop = advice_for(picture(0.5, 0.5), shot(aspect_ratio=1.0))
    assert crop is not None
    assert crop.reaches == ("aspect_ratio",)
    ratio = (crop.box.right - crop.box.left) * 1600 / ((crop.box.bottom - crop.box.top) * 2000)
    assert ratio == pytest.approx(1.0, abs=1e-6)


def test_a_crop_never_cuts_into_the_subject():
    wide = picture(0.5, 0.5, area=0.5)
    crop = advice_for(wide, shot(subject=thing(at=Point(0.9, 0.9))))
    assert crop is None


def test_a_crop_that_would_lose_what_was_met_is_not_advised():
    measured = picture(0.5, 0.5, area=0.05)
    wanted = shot(subject=thing(at=Point(1 / 3, 1 / 3), size=0.05), techniques=("centred",))
    assert advice_for(measured, wanted) is None
