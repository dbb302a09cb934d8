"""Planned elements and what they are taken to be."""

from __future__ import annotations

import dataclasses
import math

import pytest

from auditor.comparison.item import Verdict
from auditor.comparison.supporting import compare_supporting
from auditor.geometry import Point
from auditor.measurements.thin_things import ThinThing
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Intent, PlannedThing
from auditor.quantity import Quantity
from auditor.vocabulary.places import zone_of_place
from tests.factories import measured_photograph, region

MET, CLOSE, MISSED, UNDECIDED = Verdict
WIDTH, HEIGHT = 1600, 2000  # of the picture, px
HALF_WIDTH_PX = 0.005 * math.hypot(WIDTH, HEIGHT)  # of a thing a hundredth of the diagonal wide
NOTHING = ("0" * 20,) * 20


def thing(name, words):
    zone = zone_of_place(words, None)
    return PlannedThing(name, zone.point, None, zone)


def found(x, y, share=0.02, elongation=1.2, confidence=0.75):
    shape = dataclasses.replace(region(x, y, share), elongation=elongation, axis_deg=0.0)
    return Quantity.measured(
        shape, confidence=confidence, tolerance=0.05, spread=0.02, dimensions=2
    )


def compared(*planned, elements=(), thin=(), placed=NOTHING, **changes):
    picture = measured_photograph(
        elements=tuple(elements), thin_things=tuple(thin), placed=placed, **changes
    )
    return list(compare_supporting(Intent(supporting=planned), picture, DEFAULT_TOLERANCES))


@pytest.mark.parametrize("at", [(0.05, 0.5), (0.30, 0.40), (0.15, 0.65)])
def test_anywhere_inside_a_zone_is_as_planned(at):
    (item,) = compared(thing("jar", "left"), elements=[found(*at)])
    assert (item.verdict, item.difference, item.zone.words) == (MET, 0.0, "left")
    assert (item.match.element, item.match.seen_as) == (0, "outline")


def test_beyond_a_zone_its_distance_counts():
    (near,) = compared(thing("jar", "left"), elements=[found(0.40, 0.5)])
    # 0.4 - 0.3333 of 1600 px over a diagonal of 2561.25 px
    assert near.difference == pytest.approx(0.0667 * 1600 / 2561.25, abs=1e-3)
    assert near.verdict is MET
    (far,) = compared(thing("jar", "left"), elements=[found(0.9, 0.9)])
    assert far.verdict is MISSED


def test_a_round_dish_is_no_spoon():
    (spoon,) = compared(thing("spoon", "left"), elements=[found(0.2, 0.5)])
    assert (spoon.verdict, spoon.match) == (MISSED, None)
    (bowl,) = compared(thing("bowl", "left"), elements=[found(0.2, 0.5)])
    assert bowl.verdict is MET


@pytest.mark.parametrize("elongation", [3.0, 6.0])
def test_a_long_outline_is_a_spoon(elongation):
    (spoon,) = compared(thing("wooden spoon", "left"), elements=[found(0.2, 0.5, 0.01, elongation)])
    assert (spoon.verdict, spoon.match.element) == (MET, 0)


def test_two_edges_are_a_spoon_and_no_bowl():
    thin = [ThinThing((Point(0.1, 0.4), Point(0.25, 0.6)), 0.01, 0.3)]
    (spoon,) = compared(thing("spoon", "left"), thin=thin)
    assert (spoon.verdict, spoon.match.seen_as, spoon.match.element) == (MET, "edges", None)
    # Half of its width, 0.005 of the diagonal, is the same length in pixels on every side.
    assert spoon.match.bbox.left == pytest.approx(0.1 - HALF_WIDTH_PX / WIDTH)
    assert spoon.match.bbox.bottom == pytest.approx(0.6 + HALF_WIDTH_PX / HEIGHT)
    (bowl,) = compared(thing("bowl", "left"), thin=thin)
    assert bowl.verdict is MISSED


def test_each_takes_what_looks_like_it():
    elements = [found(0.2, 0.45), found(0.2, 0.6, 0.01, 5.0)]
    for order in ((0, 1), (1, 0)):
        spoon, bowl = compared(
            thing("spoon", "left"),
            thing("bowl", "left"),
            elements=[elements[index] for index in order],
        )
        assert (spoon.match.element, bowl.match.element) == (order.index(1), order.index(0))
        assert (spoon.verdict, bowl.verdict) == (MET, MET)


@pytest.mark.parametrize(
    ("name", "verdict"), [("mint", UNDECIDED), ("second bowl", UNDECIDED), ("spoon", MISSED)]
)
def test_a_spoon_is_not_hidden_in_the_subject_and_other_things_may_be(name, verdict):
    subject = Quantity.measured(region(0.5, 0.5, 0.5), confidence=0.9, tolerance=0.05)
    (item,) = compared(thing(name, "centre"), subject=subject)
    assert (item.verdict, item.doubt) == (verdict, "covered" if verdict is UNDECIDED else "")


def test_behind_is_over_the_subject():
    subject = Quantity.measured(region(0.5, 0.6, 0.09), confidence=0.9, tolerance=0.05)
    (glass,) = compared(
        thing("glass", "behind"), elements=[found(0.55, 0.3, 0.01)], subject=subject
    )
    assert (glass.verdict, glass.difference) == (MET, 0.0)
    assert glass.zone.boxes[0].bottom == pytest.approx(0.45 + 0.25 * 0.3)
    (aside,) = compared(thing("glass", "behind"), elements=[found(0.9, 0.9, 0.01)], subject=subject)
    assert aside.verdict is MISSED


def test_the_mirror_of_a_picture_has_the_same_verdicts():
    planned = [("spoon", "left"), ("bowl", "upper right"), ("napkin", "bottom edge")]
    elements = [found(0.2, 0.5, 0.01, 4.0), found(0.7, 0.2), found(0.6, 0.9, 0.05)]
    mirrored = [
        dataclasses.replace(
            one,
            value=dataclasses.replace(
                region(1 - one.value.centroid.x, one.value.centroid.y, one.value.area_fraction),
                elongation=one.value.elongation,
            ),
        )
        for one in elements
    ]
    other = {"left": "right", "upper right": "upper left", "bottom edge": "bottom edge"}
    subject = Quantity.measured(region(0.5, 0.5, 0.05), confidence=0.9, tolerance=0.05)
    here = compared(*(thing(*one) for one in planned), elements=elements, subject=subject)
    there = compared(
        *(thing(name, other[words]) for name, words in planned), elements=mirrored, subject=subject
    )
    assert [one.verdict for one in here] == [one.verdict for one in there]
    assert [one.match.element for one in here] == [0, 1, 2]
    assert [one.match.element for one in there] == [0, 1, 2]


def test_a_round_dish_is_no_spoon_wherever_it_may_be():
    anywhere = PlannedThing("spoon")
    (spoon,) = compared(anywhere, elements=[found(0.2, 0.5)], placed=("99", "00"))
    assert (spoon.verdict, spoon.match) == (UNDECIDED, None)
    (spoon,) = compared(anywhere, elements=[found(0.2, 0.5), found(0.8, 0.8, 0.01, 5.0)])
    assert (spoon.verdict, spoon.match.element) == (MET, 1)


def test_what_lies_elsewhere_is_named_only_where_nothing_else_could_be_meant():
    one, other = found(0.8, 0.2), found(0.8, 0.8)
    (alone,) = compared(thing("jar", "left"), elements=[one])
    assert (alone.verdict, alone.match.element) == (MISSED, 0)
    (either,) = compared(thing("jar", "left"), elements=[one, other])
    assert (either.verdict, either.match, either.difference) == (MISSED, None, None)
    jar, _ = compared(thing("jar", "left"), thing("cup", "lower right"), elements=[one, other])
    assert (jar.verdict, jar.match.element) == (MISSED, 0)


def test_beside_is_the_side_on_which_something_lies_not_the_middle_of_two():
    subject = Quantity.measured(region(0.5, 0.5, 0.09), confidence=0.9, tolerance=0.05)
    rows = [list("0" * 20) for _ in range(20)]
    for row in (9, 10, 11):
        rows[row][3:5] = "99"  # on the left
        rows[row][15:16] = "9"  # a little on the right
    placed = tuple("".join(row) for row in rows)
    (lime,) = compared(thing("lime", "beside"), subject=subject, placed=placed)
    assert (lime.verdict, lime.difference) == (MET, 0.0)
    assert lime.match.bbox.right == pytest.approx(0.25)
