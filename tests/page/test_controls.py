"""What pictures are found by, and the one script that the page's policy allows."""

import hashlib
import re
from base64 import b64encode

from auditor.findings.gravity import Gravity
from auditor.page.html import render_page
from auditor.record.attention_record import AttentionRecord
from auditor.record.base import ReasonRecord
from auditor.record.picture_record import RefusedPictureRecord
from auditor.record.plan_records import PicturePlanRecord
from auditor.wording.attention import HEADINGS
from auditor.wording.controls import (
    CONTROL_TEXTS,
    files_by_order,
    kinds_by_file,
    kinds_in,
    shot_of,
    verdicts_of,
)
from tests.records import CAMERA, HOSTILE, audit, finding, item, items, measured

MET = item("camera_elevation", 45.0, 46.0, 1.0, 5.0, "deg", "met")
CLOSE = item("camera_elevation", 45.0, 51.0, 6.0, 5.0, "deg", "close")


def pictures(n):
    return audit(images=[measured(f"{place:02d}.jpg") for place in range(n)], with_plan=False)


def planned(*own):
    return measured(plan=PicturePlanRecord(shot="tea & cake", items=list(own)))


def test_the_policy_has_the_hash_of_exactly_the_script_that_stands_in_the_page():
    page = render_page(pictures(9), {})
    (script,) = re.findall(r"<script>(.*?)</script>", page, re.DOTALL)
    digest = b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")
    policy = re.search(r'Security-Policy" content="([^"]*)"', page)[1]
    assert f"script-src 'sha256-{digest}';" in policy
    assert "default-src 'none'" in policy
    assert "unsafe-eval" not in policy
    assert not re.search(r"\b(eval|fetch|import|XMLHttpRequest|innerHTML|localStorage)\b", script)


def test_a_set_that_is_seen_at_once_has_no_script_and_no_controls():
    page = render_page(pictures(8), {})
    assert "<script" not in page
    assert "script-src" not in page
    assert 'id="find"' not in page


def test_controls_are_hidden_where_no_script_shows_them():
    assert re.search(r'<div class="controls" id="find"[^>]* hidden>', render_page(pictures(9), {}))


def test_a_hostile_name_ends_no_attribute_and_no_script():
    plan = PicturePlanRecord(shot=HOSTILE, items=items())
    images = [measured(f"{place}{HOSTILE}", plan=plan) for place in range(9)]
    page = render_page(audit(images=images), {})
    assert len(re.findall(r"<script", page)) == 1
    assert len(re.findall(r'data-places="[\d ]+">', page)) == 9


def test_verdicts_are_what_is_there_and_met_stands_alone():
    assert verdicts_of(planned(MET, CLOSE)) == ("close",)
    assert verdicts_of(planned(MET)) == ("met",)
    assert verdicts_of(planned(*items())) == ("missed", "close", "undecided")
    meant = CLOSE.model_copy(update={"on_purpose": "for the light"})
    assert verdicts_of(planned(MET, meant)) == ("met",)
    assert verdicts_of(planned()) == verdicts_of(measured()) == ()


def test_shots_of_pictures():
    assert shot_of(planned(MET)) == "tea & cake"
    assert shot_of(measured()) == ""
    reason = ReasonRecord(code="empty_file", message="The file is empty.")
    assert shot_of(RefusedPictureRecord(file="x.jpg", status="refused", reason=reason)) == ""


def test_kinds_are_those_that_occur_gravest_first():
    record = pictures(9).model_copy(
        update={
            "findings": [
                finding("border", "03.jpg", gravity="look"),
                finding("location", "01.jpg", "03.jpg", gravity="hand_over"),
                finding("missing_shot", shot="tea", gravity="reshoot"),
            ]
        }
    )
    before, look = HEADINGS[Gravity.HAND_OVER], HEADINGS[Gravity.LOOK]
    assert kinds_in(record) == (before, look)
    assert kinds_by_file(record) == {
        "01.jpg": {before},
        "03.jpg": {before, look},
    }


def test_orders_that_say_nothing_are_left_out():
    record = pictures(3).model_copy(update={"findings": [], "attention": []})
    times = dict.fromkeys(("taken",))
    images = [
        picture.model_copy(update={"camera": picture.camera.model_copy(update=times)})
        for picture in record.images
    ]
    assert list(files_by_order(record.model_copy(update={"images": images}))) == ["set"]


def test_pictures_come_by_name_by_time_and_gravest_first():
    taken = {"b/1.jpg": "2026-11-25T10:00:00", "a/2.jpg": None, "a/3.jpg": "2026-11-25T09:00:00"}
    images = [
        measured(file, camera=CAMERA.model_copy(update={"taken": time}))
        for file, time in taken.items()
    ]
    record = audit(images=images, with_plan=False).model_copy(
        update={"findings": [finding("border", "a/3.jpg")]}
    )
    orders = files_by_order(record)
    assert orders["set"] == ["b/1.jpg", "a/2.jpg", "a/3.jpg"]
    assert "name" not in orders  # the same as that of the set
    assert orders["taken"] == ["a/3.jpg", "b/1.jpg", "a/2.jpg"]  # without a time last
    assert orders["gravity"] == ("a/3.jpg", "b/1.jpg", "a/2.jpg")
    first = AttentionRecord(file="a/2.jpg", gravity="reshoot", findings=[1])
    attended = record.model_copy(update={"attention": [first]})
    assert files_by_order(attended)["gravity"] == ("a/2.jpg", "a/3.jpg", "b/1.jpg")


def test_words_have_a_place_for_each_number():
    assert CONTROL_TEXTS["shown"].count("{}") == 2
    assert CONTROL_TEXTS["all"].count("{}") == 1
