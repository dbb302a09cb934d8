"""Numbers of things."""

import dataclasses

import pytest

from auditor.comparison.item import Verdict
from auditor.comparison.things import compare_things
from auditor.geometry import Ellipse, Point
from auditor.measurements.camera_elevation import CameraElevation
from auditor.measurements.thin_things import ThinThing
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Intent, PlannedThing
from auditor.quantity import Quantity
from auditor.vocabulary.how_many import from_to, leading_number
from auditor.vocabulary.places import zone_of_place
from tests.factories import measured_photograph, region

MET, CLOSE, MISSED, UNDECIDED = Verdict
NOTHING = ("0" * 20,) * 20
PLACES = ((0.15, 0.2), (0.15, 0.8), (0.85, 0.8), (0.85, 0.2), (0.5, 0.9))


def found(at, share=0.02, elongation=1.2, confidence=0.75):
    shape = dataclasses.replace(region(*at, share), elongation=elongation, axis_deg=0.0)
    return Quantity.measured(
        shape, confidence=confidence, tolerance=0.05, spread=0.02, dimensions=2
    )


def several(name, at=None, count=None):
    zone = None if at is None else zone_of_place(at, None)
    number = count or leading_number(name)[0]
    return PlannedThing(name, None if zone is None else zone.point, None, zone, number)


def compared(*planned, elements=(), thin=(), **changes):
    changes.setdefault("placed", NOTHING)
    changes.setdefault(
        "camera_elevation",
        Quantity.measured(CameraElevation(45.0, ()), confidence=0.9, tolerance=5.0),
    )
    picture = measured_photograph(elements=tuple(elements), thin_things=tuple(thin), **changes)
    return list(compare_things(Intent(supporting=planned), picture, DEFAULT_TOLERANCES))


def bowls(n):
    return [found(at) for at in PLACES[:n]]


def test_as_many_as_planned():
    (item,) = compared(several("three bowls"), elements=bowls(3))
    assert (item.quantity, item.element, item.verdict) == ("count", "three bowls", MET)
    assert (item.planned.number, item.measured.number, item.difference) == (3, 3, 0)
    assert [match.element for match in item.counted] == [0, 1, 2]


@pytest.mark.parametrize(
    ("n", "verdict", "doubt"),
    [(0, MISSED, ""), (1, MISSED, ""), (2, UNDECIDED, "touching"), (4, UNDECIDED, "others")],
)
def test_one_too_few_may_touch_another_and_one_too_many_may_be_something_else(n, verdict, doubt):
    (item,) = compared(several("three bowls"), elements=bowls(n))
    assert (item.verdict, item.doubt, item.difference) == (verdict, doubt, n - 3)


def test_rims_show_that_there_are_more_dishes_than_planned():
    rims = tuple(Ellipse(Point(*at), (0.05, 0.04), 0.0) for at in PLACES[:3])
    elevation = Quantity.measured(CameraElevation(45.0, rims), confidence=0.9, tolerance=5.0)
    elements = [found(at, confidence=0.9) for at in PLACES[:3]]
    (item,) = compared(several("two bowls"), elements=elements, camera_elevation=elevation)
    assert (item.verdict, item.difference) == (MISSED, 1)
    (glasses,) = compared(several("two glasses"), elements=elements, camera_elevation=elevation)
    assert glasses.verdict is UNDECIDED


@pytest.mark.parametrize(
    ("count", "verdict"),
    [
        (from_to(2, 1000), MET),
        (from_to(4, 1000), UNDECIDED),
        (from_to(5, 1000), MISSED),
        (from_to(0, 3), MET),
        (from_to(2, 4), MET),
    ],
)
def test_a_range_of_numbers(count, verdict):
    (item,) = compared(several("bowls", count=count), elements=bowls(3))
    assert item.verdict is verdict


def test_long_things_are_counted_by_their_shape():
    spoons = [found(at, 0.01, 6.0) for at in PLACES[:2]]
    (item,) = compared(several("two spoons"), elements=[*spoons, found(PLACES[2])])
    assert (item.verdict, item.measured.number) == (MET, 2)
    edges = ThinThing((Point(0.8, 0.2), Point(0.95, 0.3)), 0.01, 0.9)
    (item,) = compared(several("three spoons"), elements=spoons, thin=[edges])
    assert [match.seen_as for match in item.counted] == ["outline", "outline", "edges"]
    # Thin things are often not found: of three, two may be there.
    (item,) = compared(several("two spoons"), elements=[found(PLACES[2])])
    assert (item.verdict, item.measured.number) == (UNDECIDED, 0)
    (item,) = compared(several("three spoons"))
    assert item.verdict is MISSED


def test_what_lies_in_groups_is_missed_only_where_there_is_nothing():
    (item,) = compared(several("three lemons"), elements=bowls(1))
    assert (item.verdict, item.doubt) == (UNDECIDED, "touching")
    (item,) = compared(several("three lemons"))
    assert item.verdict is MISSED
    (item,) = compared(several("a few leaves"))
    assert (item.verdict, item.doubt) == (UNDECIDED, "small")


def test_only_what_is_at_the_place_counts():
    (item,) = compared(several("two bowls", "left third"), elements=bowls(4))
    assert (item.verdict, item.zone.words) == (MET, "left third")
    assert [match.element for match in item.counted] == [0, 1]


def test_a_named_thing_is_not_one_of_several():
    jar = PlannedThing("jar", Point(*PLACES[0]))
    single, counted = compared(several("two bowls"), jar, elements=bowls(3))
    assert (single.quantity, single.match.element) == ("supporting", 0)
    assert [match.element for match in counted.counted] == [1, 2]


def test_several_keep_what_they_need_from_a_thing_without_a_place():
    cloth = PlannedThing("cloth")
    single, counted = compared(cloth, several("three bowls"), elements=bowls(3))
    assert (counted.verdict, counted.measured.number) == (MET, 3)
    assert single.match is None
