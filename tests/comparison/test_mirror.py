"""Compositions whose mirror image will do as well."""

import dataclasses

import pytest

from auditor.accepted import Accepted
from auditor.comparison.compare import compare, nearer_composition
from auditor.comparison.item import Verdict
from auditor.comparison.mirror import mirror_image, shortcoming
from auditor.geometry import Point
from auditor.measurements.diagonal import Diagonal
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, PlannedThing, Shot
from auditor.quantity import Quantity
from auditor.vocabulary.places import zone_of_place
from tests.factories import measured_photograph, negative_space, region
from tests.intents import intent_with

MET, CLOSE, MISSED, UNDECIDED = Verdict
NOTHING = ("0" * 20,) * 20


def placed(name, words):
    zone = zone_of_place(words, None)
    return PlannedThing(name, zone.point, None, zone)


PLAN = intent_with(
    subject=placed(None, "upper right"),
    supporting=(placed("jar", "lower left"),),
    without=(placed("napkin", "lower right"),),
    light=Accepted.exactly(10.5),
    negative_space_sides=("left",),
    diagonal="rising",
    mirrored=True,
)


def thing_at(x, y, share):
    return Quantity.measured(region(x, y, share), confidence=0.95, tolerance=0.05)


def picture(*, turned):
    """A picture of the plan, or of its mirror image, the light as it is in the room."""

    def across(x):
        return 1 - x if turned else x

    return measured_photograph(
        placed=NOTHING,
        subject=thing_at(across(0.75), 0.25, 0.15),
        elements=(thing_at(across(0.2), 0.8, 0.03),),
        negative_space=Quantity.measured(
            negative_space(0.5, "right" if turned else "left"), confidence=0.9, tolerance=0.05
        ),
        diagonal=Quantity.measured(
            Diagonal(
                -42.0 if turned else 42.0, (Point(0.1, 0.8), Point(0.9, 0.2)), 0.6, "arrangement"
            ),
            confidence=0.9,
            tolerance=5.0,
        ),
    )


def compared(intent, photograph):
    shot = Shot("tea", ("tea",), intent)
    items = compare(shot, photograph, DEFAULT_TOLERANCES)
    return {item.quantity: item for item in items}, nearer_composition(
        shot, photograph, DEFAULT_TOLERANCES
    )


@pytest.mark.parametrize("turned", [False, True])
def test_either_way_round_is_as_planned_and_the_light_stays(turned):
    items, composed = compared(PLAN, picture(turned=turned))
    assert {name: item.verdict for name, item in items.items()} == dict.fromkeys(
        ["subject", "supporting", "without", "light", "diagonal", "negative_space_side"], MET
    )
    assert composed.is_mirrored is turned
    assert items["subject"].zone.words == ("upper left" if turned else "upper right")
    assert items["diagonal"].planned.text == ("falling" if turned else "rising")
    assert items["light"].planned.hours == 10.5


def test_without_leave_the_mirror_image_is_missed():
    plain = dataclasses.replace(PLAN, mirrored=False)
    items, composed = compared(plain, picture(turned=True))
    missed = {name for name, item in items.items() if item.verdict is MISSED}
    assert missed == {"subject", "supporting", "diagonal", "negative_space_side"}
    assert items["without"].verdict is UNDECIDED
    assert composed.is_mirrored is False


def test_one_of_the_two_is_taken_as_a_whole():
    """A subject as planned and everything else turned: the other verdicts outweigh it."""
    mixed = dataclasses.replace(picture(turned=True), subject=thing_at(0.75, 0.25, 0.15))
    items, composed = compared(PLAN, mixed)
    assert composed.is_mirrored
    assert items["subject"].verdict is MISSED
    assert items["diagonal"].verdict is MET


def test_equally_near_it_is_the_one_as_planned():
    middle = intent_with(subject=placed(None, "top"), mirrored=True)
    _, composed = compared(middle, picture(turned=True))
    assert composed.is_mirrored is False


def test_the_nearer_one_of_two_misses_is_taken():
    """Both are missed; the distance decides."""
    wanted = intent_with(subject=placed(None, "upper right"), mirrored=True)
    low = dataclasses.replace(picture(turned=False), subject=thing_at(0.2, 0.9, 0.05))
    items, composed = compared(wanted, low)
    assert (items["subject"].verdict, composed.is_mirrored) == (MISSED, True)


def test_twice_in_the_mirror_is_the_plan_again():
    twice = mirror_image(mirror_image(PLAN))
    assert twice.subject.zone.boxes[0] == pytest.approx(PLAN.subject.zone.boxes[0])
    assert (twice.diagonal, twice.negative_space_sides) == ("rising", ("left",))
    degrees = intent_with(diagonal_deg=30.0)
    assert mirror_image(degrees).diagonal_deg == -30.0


def test_a_composition_without_faults_falls_short_of_nothing():
    items, _ = compared(PLAN, picture(turned=False))
    assert shortcoming(list(items.values()))[0] == 0
