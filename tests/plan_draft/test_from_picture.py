"""What is stated about a picture: in words a person would write, and only what is sure."""

import dataclasses

import pytest

from auditor.geometry import Point
from auditor.measurements.light import Light
from auditor.plan_draft.from_picture import entries_of
from auditor.plan_draft.proof import SeenPicture
from auditor.quantity import Quantity
from auditor.reasons import Reason
from tests.factories import measured_photograph, negative_space, region


def near_thirds():
    """The fits of a subject that is near to the thirds and to nothing else."""
    fits = measured_photograph().technique_fit
    return fits | {"rule of thirds": dataclasses.replace(fits["rule of thirds"], chance=0.01)}


def stated(**changes):
    usual = {"technique_fit": near_thirds(), **changes}
    entries = entries_of(SeenPicture(measured_photograph(**usual)))
    return {entry.key: entry.plain for entry in entries}


def test_a_clear_picture():
    assert stated() == {
        "technique": "rule of thirds",
        "subject": {"at": [0.67, 0.33], "size": 0.2},
        "supporting": [
            {"name": "thing", "at": [0.33, 0.67]},
            {"name": "thing 2", "at": [0.7, 0.8]},
        ],
        "camera_elevation": "three-quarter",
        "light": {"from": "back left"},
        "negative_space": {"fraction": 0.45, "side": "left"},
        "diagonal": "rising",
        "colour_temperature": {"kelvin": 6000},
        "palette": ["#6f6a63", "#cfc7b6", "#e08a1e", "#2f4a3c"],
        "background": ["#cfc7b6"],
        "surface": ["#6f6a63"],
        "aspect_ratio": "4:5",
    }


def test_places_have_their_words_beside_them():
    subject = next(
        one for one in entries_of(SeenPicture(measured_photograph())) if one.key == "subject"
    )
    assert subject.comment == "upper right"


def test_what_is_not_sure_is_not_stated():
    unsure = Quantity.measured(Light(10.4), confidence=0.6, tolerance=1.0)
    assert "light" not in stated(light=unsure)
    assert "light" not in stated(light=Quantity.undetermined(Reason.LIGHT_CUES_DISAGREE))


def test_without_a_sure_subject_nothing_is_said_about_places():
    usual = measured_photograph().subject
    unsure = Quantity.measured(usual.value, confidence=0.4, tolerance=0.05)
    assert not {"technique", "subject", "supporting"} & set(stated(subject=unsure))


def test_a_subject_near_to_no_technique_has_none():
    off = Quantity.measured(region(0.8, 0.5, 0.1), confidence=0.9, tolerance=0.05)
    fits = {name: dataclasses.replace(fit, distance=0.2) for name, fit in near_thirds().items()}
    found = stated(subject=off, technique_fit=fits)
    assert "technique" not in found
    assert found["subject"] == {"at": [0.8, 0.5], "size": 0.1}


def test_a_thing_that_fills_the_frame_supports_nothing():
    huge = Quantity.measured(region(0.5, 0.5, 0.6), confidence=0.8, tolerance=0.05)
    assert "supporting" not in stated(elements=(huge,))


def test_long_and_small_things_are_named_by_their_shape():
    long = dataclasses.replace(region(0.2, 0.8, 0.02), elongation=5.0)
    small = region(0.8, 0.8, 0.005)
    elements = tuple(
        Quantity.measured(one, confidence=0.8, tolerance=0.05) for one in (long, small)
    )
    names = [one["name"] for one in stated(elements=elements)["supporting"]]
    assert names == ["long thing", "small thing"]


def test_a_thing_with_a_rim_is_round():
    around = Quantity.measured(region(0.66, 0.34, 0.15), confidence=0.9, tolerance=0.05)
    subject = Quantity.measured(region(0.3, 0.7, 0.2), confidence=0.9, tolerance=0.05)
    found = stated(elements=(around,), subject=subject)
    assert [one["name"] for one in found["supporting"]] == ["round thing"]


def test_no_empty_space_is_a_side_without_a_fraction():
    full = Quantity.measured(negative_space(0.02, "none"), confidence=0.9, tolerance=0.05)
    assert stated(negative_space=full)["negative_space"] == {"side": "none"}


def test_an_unusual_format_is_written_as_a_number():
    assert stated(width=1700, height=1000)["aspect_ratio"] == 1.7


def test_the_temperature_is_that_of_the_set():
    picture = SeenPicture(
        measured_photograph(), Quantity.measured(1e6 / 5000, confidence=0.9, tolerance=10.0)
    )
    kelvin = next(one for one in entries_of(picture) if one.key == "colour_temperature")
    assert kelvin.plain == {"kelvin": 5000}


@pytest.mark.parametrize("x", [0.05, 0.21, 0.333, 0.5, 0.72, 0.98])
def test_all_that_is_stated_is_met(x):
    off = Quantity.measured(region(x, 1 - x, 0.1), confidence=0.9, tolerance=0.05)
    picture = SeenPicture(measured_photograph(subject=off))
    entries = entries_of(picture)
    assert picture.meets(*entries)
    at = next(one for one in entries if one.key == "subject").plain["at"]
    assert at == pytest.approx(list(Point(x, 1 - x)), abs=0.026)


def test_a_picture_wider_than_any_plan_allows_states_no_ratio():
    assert "aspect_ratio" not in stated(width=14000, height=1000)
