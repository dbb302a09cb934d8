"""What is off its plan on purpose."""

import dataclasses

import pytest

from auditor.comparison.compare import compare
from auditor.comparison.item import Verdict
from auditor.geometry import Point
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Purpose, Shot
from tests.factories import measured_photograph
from tests.intents import intent_with, thing

INTENT = intent_with(
    subject=thing(at=Point(0.1, 0.9), size=0.9),
    camera_elevation=70.0,
    light=10.5,
    supporting=(thing("jar", Point(0.9, 0.1)), thing("cup", Point(0.1, 0.1))),
)


def reasons(*purposes):
    shot = Shot("tea", ("tea",), INTENT, purposes)
    items = compare(shot, measured_photograph(placed=("0",)), DEFAULT_TOLERANCES)
    return {
        (item.quantity, item.element): (item.verdict, item.on_purpose, item.is_fault)
        for item in items
    }


def test_a_miss_without_a_reason_is_a_fault():
    found = reasons()
    assert found["camera_elevation", None] == (Verdict.MISSED, "", True)
    assert found["light", None] == (Verdict.MET, "", False)


@pytest.mark.parametrize(
    ("purpose", "meant"),
    [
        (Purpose("so"), {"subject", "subject_size", "camera_elevation", "supporting"}),
        (Purpose("so", ("camera_elevation",)), {"camera_elevation"}),
        (Purpose("so", ("subject", "subject_size")), {"subject", "subject_size"}),
        (Purpose("so", ("light",)), set()),
    ],
)
def test_the_verdict_stays_as_measured_and_has_its_reason(purpose, meant):
    before, after = reasons(), reasons(purpose)
    assert {key: one[0] for key, one in after.items()} == {k: one[0] for k, one in before.items()}
    named = {quantity for (quantity, _), one in after.items() if one[1] == "so"}
    assert named == meant
    assert all(one[2] is False for (quantity, _), one in after.items() if quantity in meant)


def test_what_is_as_planned_has_no_reason():
    found = reasons(Purpose("so"))
    assert found["light", None] == (Verdict.MET, "", False)


def test_a_reason_of_one_element_is_its_own_and_comes_first():
    found = reasons(Purpose("eaten", ("supporting",), "cup"), Purpose("so"))
    missed = {element: one[1] for (name, element), one in found.items() if name == "supporting"}
    assert missed == {"jar": "so", "cup": "eaten"}


def test_what_is_close_on_purpose_is_so_too():
    shot = Shot("tea", ("tea",), intent_with(camera_elevation=57.0), (Purpose("so"),))
    (item,) = compare(shot, measured_photograph(), DEFAULT_TOLERANCES)
    assert (item.verdict, item.on_purpose) == (Verdict.CLOSE, "so")
    assert dataclasses.replace(item, on_purpose="").is_fault is False
