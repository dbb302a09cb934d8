import dataclasses

import pytest

from auditor.comparison.by_content import match_by_content
from auditor.comparison.likelihood import log_ratios
from auditor.geometry import Point
from auditor.measurements.camera_elevation import CameraElevation
from auditor.measurements.light import Light
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Intent, Plan, Shot
from auditor.quantity import Quantity
from auditor.reasons import Reason
from tests.factories import measured_photograph, region
from tests.intents import intent_with, thing

# Five shots as they might be planned: place, angle, light.
PLANNED = {
    "kettle": (Point(0.3, 0.3), 15.0, 10.5),
    "bowl": (Point(0.7, 0.3), 45.0, 3.0),
    "plate": (Point(0.5, 0.5), 90.0, 9.0),
    "cake": (Point(0.3, 0.7), 60.0, 1.5),
    "tart": (Point(0.7, 0.7), 30.0, 12.0),
}


def intent_of(name):
    at, angle, clock = PLANNED[name]
    return intent_with(subject=thing(at=at), camera_elevation=angle, light=clock)


def plan(**files):
    """The plan with the shots named; each with its patterns, or with None for none."""
    shots = tuple(Shot(name, own or (), intent_of(name)) for name, own in files.items())
    return Plan(None, Intent(), shots, DEFAULT_TOLERANCES)


def picture(file, name=None, *, at=None, angle=None, clock=None, **changes):
    """A picture that keeps the plan of a shot, but for what is given; with none, of no shot."""
    usual = PLANNED[name] if name else (Point(0.5, 0.9), 75.0, 6.0)
    place, deg, hours = (given or own for given, own in zip((at, angle, clock), usual, strict=True))
    return measured_photograph(
        file=file,
        subject=Quantity.measured(region(*place, 0.1), confidence=0.95, tolerance=0.05),
        camera_elevation=Quantity.measured(
            CameraElevation(deg, ()), confidence=0.95, tolerance=10.0
        ),
        light=Quantity.measured(Light(hours), confidence=0.9, tolerance=1.25),
        elements=(),
        **changes,
    )


PICTURES = [picture(f"{number}.jpg", name) for number, name in enumerate(PLANNED)]
FILES = [one.file for one in PICTURES]
OPEN = plan(**dict.fromkeys(PLANNED))


def shots_of(matches):
    return {file: shot.name for file, shot in matches.shot_of.items()}


def test_each_picture_finds_its_shot_whatever_the_order():
    right = dict(zip(FILES, PLANNED, strict=True))
    assert shots_of(match_by_content(OPEN, FILES, PICTURES)) == right
    turned = plan(**dict.fromkeys(reversed(PLANNED)))
    matches = match_by_content(turned, FILES, PICTURES)
    assert shots_of(matches) == right
    assert matches.missing == matches.unplanned == ()
    assert all(one.probability > 0.8 for one in matches.assumed.values())
    assert all(one.second != one.shot for one in matches.assumed.values())


def test_a_picture_of_no_shot_is_left_over_and_a_shot_without_a_picture_missing():
    files = [*FILES[:4], "other.jpg"]
    matches = match_by_content(OPEN, files, [*PICTURES[:4], picture("other.jpg")])
    assert matches.unplanned == ("other.jpg",)
    assert matches.missing == ("tart",)
    assert matches.assumed["other.jpg"].shot is None
    assert matches.assumed["other.jpg"].second in PLANNED


def test_several_pictures_of_one_shot_keep_the_order_of_the_set():
    again = picture("5.jpg", "bowl", at=Point(0.68, 0.32), angle=42.0)
    matches = match_by_content(OPEN, [*FILES, "5.jpg"], [*PICTURES, again])
    assert matches.files_of["bowl"] == ("1.jpg", "5.jpg")


def test_names_come_first_and_their_pictures_and_shots_are_out_of_the_question():
    # The tart's picture is named as the kettle's; the kettle's own picture may not be the kettle.
    mixed = plan(kettle=("4.jpg",), bowl=None, plate=None, cake=None, tart=None)
    matches = match_by_content(mixed, FILES, PICTURES)
    assert shots_of(matches)["4.jpg"] == "kettle"
    assert "4.jpg" not in matches.assumed
    assert matches.files_of["kettle"] == ("4.jpg",)
    assert shots_of(matches).get("0.jpg") != "kettle"
    assert {name: shots_of(matches)[f"{n}.jpg"] for n, name in ((1, "bowl"), (2, "plate"))} == {
        "bowl": "bowl",
        "plate": "plate",
    }


def test_with_names_in_every_shot_nothing_is_assumed():
    named = plan(**{name: (file,) for file, name in zip(FILES, PLANNED, strict=True)})
    matches = match_by_content(named, [*FILES, "5.jpg"], [*PICTURES, picture("5.jpg", "bowl")])
    assert not matches.assumed
    assert matches.unplanned == ("5.jpg",)


def test_a_picture_that_clearly_fits_another_shot_is_said():
    swapped = plan(
        kettle=("0.jpg",), bowl=("2.jpg",), plate=("1.jpg",), cake=("3.jpg",), tart=("4.jpg",)
    )
    found = match_by_content(swapped, FILES, PICTURES).fits_better
    assert {file: (one.shot, one.better) for file, one in found.items()} == {
        "1.jpg": ("plate", "bowl"),
        "2.jpg": ("bowl", "plate"),
    }
    # One item off its plan is a miss, no other shot.
    missed = [*PICTURES[:4], picture("4.jpg", "tart", angle=88.0)]
    named = plan(**{name: (file,) for file, name in zip(FILES, PLANNED, strict=True)})
    assert not match_by_content(named, FILES, missed).fits_better


def test_what_could_not_be_measured_says_nothing():
    blind = measured_photograph(
        subject=Quantity.undetermined(Reason.NO_SUBJECT),
        technique_fit={},
        camera_elevation=Quantity.undetermined(Reason.NO_ROUND_RIM),
        light=Quantity.undetermined(Reason.FLAT_LIGHT),
    )
    assert log_ratios(OPEN, [*PICTURES, blind])[:, -1] == pytest.approx(0)


def test_what_every_shot_plans_alike_changes_nothing():
    alike = {"aspect_ratio": 0.8, "colour_temperature": 166.0, "negative_space": 0.45}
    with_series = dataclasses.replace(
        OPEN,
        shots=tuple(
            dataclasses.replace(
                shot,
                intent=dataclasses.replace(shot.intent, **vars_of(intent_with(**alike), alike)),
            )
            for shot in OPEN.shots
        ),
    )
    assert log_ratios(with_series, PICTURES) == pytest.approx(log_ratios(OPEN, PICTURES))


def vars_of(intent, names):
    return {name: getattr(intent, name) for name in names}


def test_nearly_the_same_pictures_are_of_one_shot():
    # The copy lost its light and its angle, and its subject was found at another place.
    odd = dataclasses.replace(
        picture("9.jpg", "cake", at=Point(0.5, 0.55)),
        camera_elevation=Quantity.undetermined(Reason.NO_ROUND_RIM),
        light=Quantity.undetermined(Reason.FLAT_LIGHT),
    )
    files, pictures = [*FILES, "9.jpg"], [*PICTURES, odd]
    assert shots_of(match_by_content(OPEN, files, pictures)).get("9.jpg") != "kettle"
    matches = match_by_content(OPEN, files, pictures, alike=[("0.jpg", "9.jpg")])
    assert matches.files_of["kettle"] == ("0.jpg", "9.jpg")


def test_files_that_could_not_be_measured_stay_without_a_shot():
    matches = match_by_content(OPEN, [*FILES, "broken.jpg"], PICTURES)
    assert matches.unplanned == ("broken.jpg",)
    assert "broken.jpg" not in matches.assumed
    nothing = match_by_content(OPEN, ["broken.jpg"], [])
    assert (nothing.unplanned, len(nothing.missing)) == (("broken.jpg",), 5)


def test_a_shot_that_plans_nothing_of_its_own_takes_no_picture():
    silent = dataclasses.replace(OPEN, shots=(*OPEN.shots, Shot("anything", (), OPEN.series)))
    matches = match_by_content(silent, FILES, PICTURES)
    assert shots_of(matches) == dict(zip(FILES, PLANNED, strict=True))
    assert matches.files_of["anything"] == ()
    assert "anything" in matches.missing
