"""Crops whose effect is calculated by hand."""

import dataclasses

import pytest

from auditor.advice.cropping import ROOM_FRACTION, find_crop
from auditor.advice.prediction import box_within, cropped
from auditor.geometry import Box, Point
from auditor.measurements.additions import Border
from auditor.measurements.technique_fit import fit_techniques
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Purpose, Shot
from auditor.quantity import Quantity
from auditor.vocabulary.places import zone_of_place
from tests.advice.cases import case_of
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


def crop_for(measured, wanted, inside=1.0):
    return find_crop(case_of(measured, wanted), measured, inside)


def test_positions_after_a_crop_are_fractions_of_the_rest():
    after = cropped(picture(0.6, 0.5), Box(0.2, 0.0, 1.0, 1.0))
    assert after.subject.value.centroid == pytest.approx((0.5, 0.5))
    assert after.subject.value.area_fraction == pytest.approx(0.04 / 0.8)
    assert (after.width, after.height) == (1280, 2000)


def test_a_box_in_a_crop_is_one_of_the_frame():
    box = Box(0.2, 0.1, 1.0, 0.9)
    assert box_within(box, Box(0.0, 0.0, 0.5, 1.0)) == pytest.approx((0.2, 0.1, 0.6, 0.9))


def test_a_subject_off_its_place_is_brought_back():
    measured = picture(0.5, 0.5)
    crop = crop_for(measured, shot(subject=thing(at=Point(1 / 3, 1 / 3))))
    assert crop.reaches == (("subject", None),)
    # The frame keeps its shape: 4:5 in, 4:5 out.
    assert (crop.box.right - crop.box.left) == pytest.approx(crop.box.bottom - crop.box.top)


@pytest.mark.parametrize("x", [0.44, 0.47, 0.5])
def test_as_little_is_taken_as_reaches(x):
    """The least crop is calculated: the edge moves until the subject is within the tolerance."""
    measured = picture(x, 0.5)
    wanted = shot(subject=thing(at=Point(0.3, 0.5)))
    crop = crop_for(measured, wanted)
    found = measured.subject.value.centroid
    diagonal, tolerance = (1600**2 + 2000**2) ** 0.5, DEFAULT_TOLERANCES.subject

    def is_near(side):
        left = min(1 - side, max(0.0, found.x - 0.3 * side))
        top = min(1 - side, max(0.0, found.y - 0.5 * side))
        dx = ((found.x - left) / side - 0.3) * 1600
        dy = ((found.y - top) / side - 0.5) * 2000
        return (dx**2 + dy**2) ** 0.5 / diagonal <= tolerance

    sides = [1 - n / 2000 for n in range(1000)]
    least = next(side for side in sides if side**2 <= 0.985 and is_near(side))
    assert crop.box.right - crop.box.left == pytest.approx(least, abs=0.003)


def test_landing_farther_inside_takes_more():
    measured = picture(0.5, 0.5)
    wanted = shot(subject=thing(at=Point(1 / 3, 1 / 3)))
    shares = [crop_for(measured, wanted, inside).box.area_fraction for inside in (1.0, 0.8, 0.5)]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] > shares[2]


def test_a_crop_to_a_zone_leaves_the_rest_where_it_is():
    zone = zone_of_place("upper right", None)
    measured = picture(0.8, 0.5)
    in_words = crop_for(measured, shot(subject=thing(at=zone.point, zone=zone)))
    assert in_words.reaches == (("subject", None),)
    moved = cropped(measured, in_words.box).subject.value.centroid
    assert zone.distance(moved, 1600, 2000) <= DEFAULT_TOLERANCES.subject


def test_nothing_missed_needs_no_crop():
    assert crop_for(picture(1 / 3, 1 / 3), shot(subject=thing(at=Point(1 / 3, 1 / 3)))) is None


def test_a_wrong_aspect_ratio_is_cropped_to_the_planned_one():
    crop = crop_for(picture(0.5, 0.5), shot(aspect_ratio=1.0))
    assert crop.reaches == (("aspect_ratio", None),)
    ratio = (crop.box.right - crop.box.left) * 1600 / ((crop.box.bottom - crop.box.top) * 2000)
    assert ratio == pytest.approx(1.0, abs=1e-6)
    assert crop.box.right - crop.box.left == pytest.approx(1.0)


def test_a_crop_keeps_the_ratio_of_a_picture_that_has_the_planned_one():
    wanted = shot(subject=thing(at=Point(1 / 3, 1 / 3)), aspect_ratio=0.8)
    crop = crop_for(picture(0.5, 0.5), wanted)
    assert (crop.box.right - crop.box.left) == pytest.approx(crop.box.bottom - crop.box.top)


def test_a_crop_never_cuts_into_the_subject():
    assert crop_for(picture(0.5, 0.5, area=0.5), shot(subject=thing(at=Point(0.9, 0.9)))) is None


def test_a_new_edge_leaves_room_beside_the_subject():
    for x, at in ((0.62, 0.85), (0.5, 0.2), (0.45, 0.75)):
        measured = picture(x, 0.5, area=0.03)
        crop = crop_for(measured, shot(subject=thing(at=Point(at, 0.5))), 0.5)
        if crop is None:
            continue
        inner = measured.subject.value.bbox
        room = ROOM_FRACTION * (crop.box.right - crop.box.left) - 1e-9
        assert crop.box.left == 0 or inner.left - crop.box.left >= room
        assert crop.box.right == 1 or crop.box.right - inner.right >= room


def test_a_crop_that_would_lose_what_was_met_is_not_found():
    measured = picture(0.5, 0.5, area=0.05)
    wanted = shot(subject=thing(at=Point(1 / 3, 1 / 3), size=0.05), techniques=("centred",))
    assert crop_for(measured, wanted) is None


def test_what_is_off_its_plan_on_purpose_needs_no_crop():
    measured = picture(0.5, 0.5)
    wanted = shot(subject=thing(at=Point(1 / 3, 1 / 3)))
    meant = dataclasses.replace(wanted, on_purpose=(Purpose("room for a title"),))
    assert crop_for(measured, wanted) is not None
    assert crop_for(measured, meant) is None


def test_a_subject_off_its_place_on_purpose_stays_there_in_a_crop():
    measured = picture(0.5, 0.5)
    wanted = shot(subject=thing(at=Point(0.2, 0.2)), aspect_ratio=1.0)
    meant = dataclasses.replace(wanted, on_purpose=(Purpose("so", ("subject",)),))
    crop = crop_for(measured, meant)
    assert crop.reaches == (("aspect_ratio", None),)
    moved = cropped(measured, crop.box).subject.value.centroid
    assert moved == pytest.approx((0.5, 0.5), abs=0.02)


def test_a_picture_with_a_border_is_not_cropped():
    inside = Border(Box(0.05, 0.05, 0.95, 0.95), "#ffffff")
    border = Quantity.measured(inside, confidence=0.9, tolerance=0.01)
    measured = dataclasses.replace(picture(0.5, 0.5), border=border)
    wanted = shot(aspect_ratio=1.0)
    assert crop_for(measured, wanted) is None
