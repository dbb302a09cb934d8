"""What must not be in a picture."""

import dataclasses

import pytest

from auditor.comparison.item import Verdict
from auditor.comparison.things import compare_things
from auditor.geometry import Ellipse, Point
from auditor.measurements.camera_elevation import CameraElevation
from auditor.measurements.thin_things import ThinThing
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Intent, PlannedThing
from auditor.quantity import Quantity
from auditor.vocabulary.places import zone_of_place
from tests.factories import measured_photograph, region

MET, CLOSE, MISSED, UNDECIDED = Verdict
NOTHING = ("0" * 20,) * 20
NO_RIMS = Quantity.measured(CameraElevation(45.0, ()), confidence=0.9, tolerance=5.0)
BOWL_AT = Point(0.2, 0.2)


def found(x, y, share=0.02, elongation=1.2, confidence=0.85):
    shape = dataclasses.replace(region(x, y, share), elongation=elongation, axis_deg=0.0)
    return Quantity.measured(
        shape, confidence=confidence, tolerance=0.05, spread=0.02, dimensions=2
    )


def thing(name, at=None):
    zone = None if at is None else zone_of_place(at, None)
    return PlannedThing(name, None if zone is None else zone.point, None, zone)


def compared(*without, supporting=(), elements=(), thin=(), placed=NOTHING, **changes):
    changes.setdefault("camera_elevation", NO_RIMS)
    picture = measured_photograph(
        elements=tuple(elements), thin_things=tuple(thin), placed=placed, **changes
    )
    intent = Intent(supporting=supporting, without=without)
    items = compare_things(intent, picture, DEFAULT_TOLERANCES)
    return [item for item in items if item.quantity == "without"]


@pytest.mark.parametrize("name", ["fork", "second plate", "hands", "glass", "napkin", "crumbs"])
def test_where_there_is_nothing_else_it_is_left_out(name):
    (item,) = compared(thing(name))
    assert (item.element, item.verdict, item.measured, item.match) == (name, MET, None, None)


@pytest.mark.parametrize(
    ("name", "verdict"),
    [
        ("fork", MET),
        ("second plate", UNDECIDED),
        ("glass", UNDECIDED),
        ("napkin", UNDECIDED),
        ("hands", UNDECIDED),
    ],
)
def test_beside_a_bowl_there_is_no_fork_and_there_may_be_something_else(name, verdict):
    (item,) = compared(thing(name), elements=[found(*BOWL_AT)])
    assert item.verdict is verdict
    assert item.doubt == ("shape" if verdict is UNDECIDED else "")
    assert (item.match is None) == (verdict is MET)


def test_a_rim_shows_a_plate():
    rim = Ellipse(BOWL_AT, (0.05, 0.04), 0.0)
    elevation = Quantity.measured(CameraElevation(45.0, (rim,)), confidence=0.9, tolerance=5.0)
    plate, glass = compared(
        thing("second plate"),
        thing("glass"),
        elements=[found(*BOWL_AT)],
        camera_elevation=elevation,
    )
    assert (plate.verdict, plate.measured.at) == (MISSED, BOWL_AT)
    assert plate.match.element == 0
    assert glass.verdict is UNDECIDED


@pytest.mark.parametrize(
    ("elongation", "verdict"), [(1.2, MET), (2.0, UNDECIDED), (3.0, UNDECIDED), (6.0, MISSED)]
)
def test_the_longer_a_thing_the_likelier_it_is_a_fork(elongation, verdict):
    (item,) = compared(thing("fork"), elements=[found(0.2, 0.5, 0.01, elongation)])
    assert item.verdict is verdict


@pytest.mark.parametrize(("confidence", "verdict"), [(0.2, MET), (0.5, UNDECIDED), (0.9, MISSED)])
def test_two_edges_are_a_fork_as_surely_as_they_are_a_thing(confidence, verdict):
    thin = [ThinThing((Point(0.1, 0.4), Point(0.25, 0.6)), 0.01, confidence)]
    (item,) = compared(thing("fork"), thin=thin)
    assert item.verdict is verdict
    # The same edges are no napkin, whatever they are.
    (item,) = compared(thing("napkin"), thin=thin)
    assert item.verdict is MET


def test_a_planned_spoon_is_not_the_fork_that_is_ruled_out():
    spoon = [found(0.2, 0.5, 0.01, 6.0)]
    (item,) = compared(thing("fork"), supporting=(thing("spoon", "left"),), elements=spoon)
    assert item.verdict is MET


def test_only_the_named_place_must_be_free():
    elsewhere, there = (
        compared(thing("napkin", at), elements=[found(*BOWL_AT)])[0]
        for at in ("lower left", "upper left")
    )
    assert (elsewhere.verdict, there.verdict) == (MET, UNDECIDED)
    assert (there.zone.words, there.planned.at) == ("upper left", pytest.approx((1 / 3, 1 / 3)))


def test_what_the_subject_covers_may_lie_on_it():
    subject = Quantity.measured(region(0.5, 0.5, 0.3), confidence=0.9, tolerance=0.05)
    leaves, fork = compared(thing("leaves", "centre"), thing("fork", "centre"), subject=subject)
    assert (leaves.verdict, leaves.doubt) == (UNDECIDED, "covered")
    assert fork.verdict is MET


def test_what_has_no_outline_may_be_a_cloth_and_is_no_plate():
    placed = tuple("9" * 6 + "0" * 14 if row > 13 else "0" * 20 for row in range(20))
    cloth, plate, crumbs = compared(thing("cloth"), thing("plate"), thing("crumbs"), placed=placed)
    assert (cloth.verdict, cloth.doubt) == (UNDECIDED, "outline")
    assert plate.verdict is MET
    assert (crumbs.verdict, crumbs.doubt) == (UNDECIDED, "small")
    (here,) = compared(thing("cloth", "lower left"), placed=placed)
    (away,) = compared(thing("cloth", "upper left"), placed=placed)
    assert (here.verdict, away.verdict) == (UNDECIDED, MET)
