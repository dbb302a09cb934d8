"""What a client reads: facts of the record in plain sentences."""

import pytest

from auditor.record.advice_record import AdviceRecord
from auditor.record.audit_record import ShotRecord
from auditor.record.plan_records import PicturePlanRecord
from auditor.wording.summary import facts, more_shots, picture_name, plan_facts, shown_words, to_do
from tests.records import CAMERA, advice, audit, finding, item, items, measured

PLAN = PicturePlanRecord(shot="tea", items=items())
MET = item("camera_elevation", 45.0, 46.0, 1.0, 5.0, "deg", "met")
KEPT = PicturePlanRecord(shot="tea", items=[MET])


def of(*images, **changes):
    """A record of these pictures, without findings."""
    record = audit(images=list(images), **{"shots": [], **changes})
    return record.model_copy(update={"findings": []})


def taken(file, time, **changes):
    return measured(file, camera=CAMERA.model_copy(update={"taken": time}), **changes)


def shot(name, *files):
    return ShotRecord(name=name, files=list(files), missing=not files)


def test_days_and_formats():
    day, next_day = "2026-11-25T09:36:00", "2026-11-26T08:00:00"
    one = of(taken("a.jpg", day))
    assert facts(one) == (
        "1 picture, photographed on 25 November 2026.",
        "It is in landscape format.",
    )
    two = of(taken("a.jpg", next_day), taken("b.jpg", day, width=400, height=600))
    assert facts(two) == (
        "2 pictures, photographed from 25 November 2026 to 26 November 2026.",
        "1 in portrait format, 1 in landscape format.",
    )
    assert facts(of(taken("a.jpg", day), taken("b.jpg", None)))[0] == "2 pictures."


def test_what_of_the_plan_is_there():
    record = of(
        measured("a.jpg", plan=KEPT),
        measured("b.jpg", plan=PLAN),
        shots=[shot("tea", "a.jpg", "b.jpg"), shot("bread")],
    )
    there, kept, differing = plan_facts(record)
    assert there == "1 of 2 planned shots is there."
    assert kept == "1 of 2 pictures is as planned in everything that could be checked."
    assert differing == (
        "Different from the plan: subject’s place, supporting elements, technique, camera angle, "
        "light and diagonal in 1 picture each; 3 other things."
    )
    assert plan_facts(of(measured("a.jpg"))) == ()


def test_what_is_off_on_purpose_is_as_planned():
    meant = [one.model_copy(update={"on_purpose": "for the window"}) for one in items()]
    record = of(measured("a.jpg", plan=PicturePlanRecord(shot="tea", items=meant)))
    assert plan_facts(record) == (
        "1 of 1 picture is as planned in everything that could be checked.",
    )


def test_what_is_still_to_do():
    record = of(
        measured("a.jpg", advice=advice()),
        measured("b.jpg", advice=advice()[:2]),
        shots=[shot("bread"), shot("tea", "a.jpg")],
    )
    soft = record.model_copy(update={"findings": [finding("missed_focus", "b.jpg")]})
    assert to_do(soft) == (
        "Photograph “bread”.",
        "Look again at the sharpness of picture 2.",
        "Adjust the brightness of picture 1.",
        "Adjust the white balance of picture 1.",
        "Straighten pictures 1 and 2.",
        "Crop pictures 1 and 2.",
    )
    assert to_do(of(measured("a.jpg"))) == ("This check found nothing that is left to do.",)


def test_long_lists_are_counted():
    many = [
        measured(f"{n}.jpg", advice=[AdviceRecord.model_validate(advice()[1].model_dump())])
        for n in range(9)
    ]
    record = of(*many, shots=[shot(f"shot {n}") for n in range(6)])
    assert to_do(record) == (
        "Photograph “shot 0”, “shot 1”, “shot 2”, “shot 3” and 2 more shots.",
        "Straighten 9 pictures.",
    )
    assert shown_words(24, 30) == "24 of 30 pictures; 6 more are not shown here."
    assert shown_words(24, 24) == ""
    assert more_shots([shot("a"), shot("b", "x.jpg")]) == "and 2 more shots, of which 1 is there"
    assert more_shots([]) == ""


@pytest.mark.parametrize(
    ("file", "name"), [("Client Name/in secret/tea.final.jpg", "tea.final"), ("b\\tea.jpg", "tea")]
)
def test_a_picture_is_called_by_its_shot_or_its_name_without_folders(file, name):
    assert picture_name(measured(file)) == name
    assert picture_name(measured(file, plan=KEPT)) == "tea"
