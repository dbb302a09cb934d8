"""What is kept of an audit."""

import math
from pathlib import Path

import pytest

from auditor.geometry import Box
from auditor.history.shoot import differences, fingerprints, kept_intents, place_of, shoot_of
from auditor.record.picture_record import CameraRecord
from auditor.record.plan_records import PicturePlanRecord, ZoneRecord
from tests.records import CAMERA, audit, item, measured

DIAGONAL = math.hypot(600, 400)


def planned(*items, **changes):
    return measured(plan=PicturePlanRecord(shot="a dish", items=list(items)), **changes)


def off(one, width=600, height=400):
    return dict(differences(one, width, height))


def test_a_place_is_off_to_the_right_and_down_in_fractions_of_the_diagonal():
    one = item("subject", [0.5, 0.5], [0.6, 0.75], 0.2, 0.08, "fraction of diagonal", "missed")
    assert off(one) == pytest.approx({"across": 60 / DIAGONAL, "down": 100 / DIAGONAL})


def test_a_place_in_words_is_off_from_the_nearest_part_of_its_zone():
    boxes = [tuple(Box(0.6, 0.0, 1.0, 0.4))]
    one = item("subject", [0.7, 0.3], [0.5, 0.3], 0.08, 0.08, "fraction of diagonal", "met")
    one = one.model_copy(update={"zone": ZoneRecord(words="upper right", boxes=boxes)})
    assert off(one) == pytest.approx({"across": -60 / DIAGONAL, "down": 0.0})
    inside = one.model_copy(update={"measured": [0.9, 0.1]})
    assert off(inside) == {"across": 0.0, "down": 0.0}


@pytest.mark.parametrize(
    ("planned_hours", "measured_hours", "difference", "front"),
    [
        (10.5, 9.0, -1.5, 1.5),  # from the back left to the left: nearer to the front
        (1.5, 3.0, 1.5, 1.5),  # the same on the other side
        (9.0, 10.5, 1.5, -1.5),
        (3.0, 9.0, 6.0, 0.0),  # the other side is no nearer to the front
        (12.0, 1.0, 1.0, 1.0),
        (6.0, 5.0, -1.0, -1.0),
        (11.5, 0.5, 1.0, 0.0),
    ],
)
def test_light_is_off_to_the_front_on_either_side(planned_hours, measured_hours, difference, front):
    one = item("light", planned_hours, measured_hours, difference, 1.25, "h", "met")
    assert off(one)["front"] == pytest.approx(front)


def test_numbers_are_off_by_their_signed_difference_and_colours_to_no_side():
    camera = item("camera_elevation", 45.0, 57.0, 12.0, 10.0, "deg", "close")
    assert off(camera) == {"higher": 12.0}
    palette = item("palette", ["#e08a1e"], ["#e08a20"], 4.0, 10.0, "CIEDE2000", "met")
    assert off(palette) == {}
    nothing = item("camera_elevation", 45.0, None, None, 10.0, "deg", "undecided")
    assert off(nothing) == {}


def test_verdicts_are_counted_and_differences_averaged_without_what_is_open_or_meant():
    values = [(8.0, "met"), (12.0, "close"), (40.0, "undecided"), (30.0, "missed")]
    items = [
        item("camera_elevation", 45.0, 45.0 + value, value, 10.0, "deg", verdict)
        for value, verdict in values
    ]
    items[3] = items[3].model_copy(update={"on_purpose": "the window needed it"})
    (kept,) = kept_intents([planned(one) for one in items])
    assert (kept.met, kept.close, kept.missed, kept.undecided) == (1, 1, 0, 1)
    (deviation,) = kept.deviations
    assert (deviation.n, deviation.mean) == (2, 10.0)
    assert deviation.spread == pytest.approx(math.sqrt(8))


def test_a_single_item_has_no_spread():
    (kept,) = kept_intents([planned(item("light", 9.0, 8.0, -1.0, 1.25, "h", "met"))])
    assert kept.deviations[0].spread is None


def test_the_day_is_that_of_the_pictures_else_that_of_the_audit():
    taken = [
        measured(
            f"{day}.jpg", camera=CAMERA.model_copy(update={"taken": f"2026-03-{day}T10:00:00"})
        )
        for day in ("03", "01", "02")
    ]
    shoot = shoot_of(audit(images=taken, with_plan=False, refused=False))
    assert (shoot.day, shoot.is_day_taken) == ("2026-03-02", True)
    camera = CameraRecord.model_validate({**CAMERA.model_dump(), "taken": "no time at all"})
    unknown = [measured(camera=camera)]
    shoot = shoot_of(audit(images=unknown, with_plan=False, refused=False))
    assert (shoot.day, shoot.is_day_taken) == ("2026-11-25", False)


def test_a_title_else_the_last_part_of_the_folder():
    assert shoot_of(audit(title="Winter")).title == "Winter"
    assert shoot_of(audit()).title == "teahouse"
    assert shoot_of(audit(folder="C:\\Clients\\Name\\citrus")).title == "citrus"


def test_fingerprints_are_not_the_hashes_that_a_record_shows():
    record = audit(refused=False)
    hashes = {image.sha256 for image in record.images}
    found = fingerprints(record)
    assert len(found) == len(record.images)
    assert not any(one.startswith(mark) or mark in one for one in hashes for mark in found)


def test_a_place_is_the_folder_with_its_plan():
    record = audit()
    here = place_of(record, Path("finals"))
    assert here == place_of(record, Path("./finals"))
    assert here != place_of(record, Path("other"))
    assert here != place_of(audit(shots=record.shots[:1]), Path("finals"))
    assert place_of(audit(with_plan=False), Path("finals")) == ""
