import csv
import io

import pytest

from auditor.record.audit_record import ShotRecord
from auditor.record.base import (
    ReasonRecord,
)
from auditor.record.csv_table import safe_text, table_text
from auditor.record.picture_record import (
    KnownTemperatureRecord,
    RefusedPictureRecord,
)
from auditor.record.plan_records import AssumedRecord, PicturePlanRecord, RankRecord
from tests.records import HOSTILE, NAMES, audit, measured


@pytest.fixture
def rows():
    return list(csv.DictReader(io.StringIO(table_text(audit()), newline="")))


def test_one_row_a_picture_in_the_order_of_the_record(rows):
    assert [row["file"] for row in rows] == [*NAMES, "e/empty.jpg"]
    assert rows[1]["file"] == HOSTILE


def test_values_are_the_record_s_own(rows):
    first = rows[0]
    assert float(first["subject_x"]) == 0.25
    assert float(first["subject_bottom"]) == 0.65
    assert float(first["light_clock"]) == 3.0
    assert float(first["colour_temperature_mired"]) == 204.7
    assert first["camera_has_gps"] == "false"
    assert first["palette_2_hex"] == "#b0521f"
    assert first["plan_n_missed"] == "9"
    assert first["n_elements"] == "1"
    assert first["techniques_near"] == "rule of thirds, golden ratio"


def test_the_cause_of_softness_and_the_best_known_temperature_have_columns():
    focus = measured().focus.model_copy(
        update={"subject_in_focus": False, "cause": "motion blur", "cause_confidence": 0.7}
    )
    known = KnownTemperatureRecord(mired=160.0, confidence=0.8, tolerance=15.0, by_set=True)
    images = [measured("a.jpg", focus=focus, known_temperature=known), measured("b.jpg")]
    text = table_text(audit(with_plan=False, images=images))
    first, second = csv.DictReader(io.StringIO(text, newline=""))
    assert (first["focus_cause"], first["focus_cause_confidence"]) == ("motion blur", "0.7")
    assert (first["known_temperature_mired"], first["known_temperature_by_set"]) == (
        "160.0",
        "true",
    )
    assert second["focus_cause"] == second["known_temperature_mired"] == ""


def test_how_a_picture_was_matched_and_its_rank_have_columns():
    assumed = AssumedRecord(probability=0.93, second=None, second_probability=0.05)
    rank = RankRecord(place=2, n_pictures=3)
    planned = PicturePlanRecord(shot="tea", items=[], assumed=assumed, rank=rank)
    named = PicturePlanRecord(shot="tart", items=[])
    images = [measured("a.jpg", plan=planned), measured("b.jpg", plan=named)]
    shot = ShotRecord(name="tea", files=["a.jpg"], missing=False, assumed=["a.jpg"])
    text = table_text(audit(images=images, shots=[shot]))
    first, second = csv.DictReader(io.StringIO(text, newline=""))
    assert (first["plan_assumed_probability"], first["plan_rank"]) == ("0.93", "2")
    assert second["plan_assumed_probability"] == second["plan_rank"] == ""


def test_what_is_not_known_is_empty(rows):
    assert rows[0]["background_hex"] == ""
    assert rows[0]["camera_lens"] == ""
    assert rows[2]["plan_shot"] == ""
    assert rows[2]["plan_n_met"] == ""
    refused = rows[4]
    assert (refused["status"], refused["reason_code"]) == ("refused", "empty_file")
    assert not any(v for k, v in refused.items() if k not in {"file", "status", "reason_code"})


def test_lines_end_as_rfc_4180_asks():
    text = table_text(audit())
    assert text.endswith("\r\n")
    assert text.count("\n") == text.count("\r\n") == 6


def test_the_columns_do_not_depend_on_the_pictures():
    reason = ReasonRecord(code="damaged", message="Damaged.")
    refused = RefusedPictureRecord(file="a", status="refused", reason=reason)
    header = table_text(audit()).splitlines()[0]
    assert table_text(audit(images=[refused])).splitlines()[0] == header
    assert table_text(audit(images=[])).splitlines() == [header]
    assert len(set(header.split(","))) == len(header.split(","))


# OWASP, "CSV Injection": fields that begin with = + - @, tab or carriage return.
@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_no_text_is_taken_for_a_formula(start):
    image = measured(f"{start}cmd|' /C calc'!A0.jpg", creator=f"{start}HYPERLINK(1)")
    row = next(csv.DictReader(io.StringIO(table_text(audit(images=[image])))))
    assert row["file"].startswith("'")
    assert row["creator"].startswith("'")


def test_negative_numbers_stay_numbers(rows):
    assert float(rows[0]["diagonal_angle_deg"]) == -32.0


def test_ordinary_text_is_left_alone():
    assert safe_text("kettle-2.jpg") == "kettle-2.jpg"


def test_a_name_that_is_no_unicode_can_be_written():
    text = table_text(audit(images=[measured("thé\udce9.jpg")]))
    assert "thé?.jpg" in text
    assert text.encode("utf-8")
