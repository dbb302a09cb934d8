"""The table of measurements, as a spreadsheet reads it."""

import csv
import io
import re

import pytest

from auditor.record.audit_record import ShotRecord
from auditor.record.base import ReasonRecord
from auditor.record.picture_record import RefusedPictureRecord
from auditor.record.plan_records import AssumedRecord, PicturePlanRecord, RankRecord
from auditor.safe_text import for_csv
from auditor.tables.measurements import measurement_table
from tests.records import HOSTILE, NAMES, audit, measured

UNITS = {"px", "mm", "s", "%", "of the diagonal", "°", "K", "mired", "Duv", "C*", "L*", "EV"}


def rows_of(record):
    return list(csv.DictReader(io.StringIO(measurement_table(record).removeprefix("\ufeff"))))


@pytest.fixture
def rows():
    return rows_of(audit())


def test_it_begins_with_a_byte_order_mark():
    assert measurement_table(audit()).encode("utf-8").startswith(b"\xef\xbb\xbf")


def test_one_row_a_picture_in_the_order_of_the_record_with_its_number(rows):
    assert [row["File"] for row in rows] == [*NAMES, "e/empty.jpg"]
    assert [row["Picture"] for row in rows] == ["1", "2", "3", "4", "5"]
    assert rows[1]["File"] == HOSTILE


def test_values_are_rounded_and_in_the_unit_of_their_heading(rows):
    first = rows[0]
    assert first["Subject: from the left (%)"] == "25.0"
    assert first["Subject: bottom edge (%)"] == "65.0"
    assert first["Light (clock, camera at 6)"] == "3.0"
    assert first["Colour temperature (mired)"] == "204.7"
    assert first["Colour temperature (K)"].isdigit()
    assert first["Location in the file"] == "no"
    assert first["Colour 2: code"] == "#b0521f"
    assert first["Planned items missed"] == "9"
    assert first["Supporting elements"] == "1"
    assert first["Techniques near"] == "rule of thirds, golden ratio"


def test_no_number_has_more_digits_than_mean_anything(rows):
    for row in rows:
        for heading, text in row.items():
            if heading not in {"SHA-256", "Exposure time (s)", "File"}:
                assert not re.fullmatch(r"-?\d+\.\d{5,}", text), heading


def test_the_cause_of_softness_has_a_column():
    focus = measured().focus.model_copy(
        update={"subject_in_focus": False, "cause": "motion blur", "cause_confidence": 0.7}
    )
    images = [measured("a.jpg", focus=focus), measured("b.jpg")]
    first, second = rows_of(audit(with_plan=False, images=images))
    assert (first["Softness: cause"], first["Softness: probability (%)"]) == ("motion blur", "70.0")
    assert first["Subject in focus"] == "no"
    assert second["Softness: cause"] == ""


def test_how_a_picture_was_matched_and_its_rank_have_columns():
    assumed = AssumedRecord(probability=0.93, second=None, second_probability=0.05)
    rank = RankRecord(place=2, n_pictures=3)
    planned = PicturePlanRecord(shot="tea", items=[], assumed=assumed, rank=rank)
    named = PicturePlanRecord(shot="tart", items=[])
    images = [measured("a.jpg", plan=planned), measured("b.jpg", plan=named)]
    shot = ShotRecord(name="tea", files=["a.jpg"], missing=False, assumed=["a.jpg"])
    first, second = rows_of(audit(images=images, shots=[shot]))
    names = ("Shot assumed: probability (%)", "Place among those of its shot")
    assert [first[name] for name in names] == ["93.0", "2"]
    assert [second[name] for name in names] == ["", ""]


def test_what_is_not_known_is_empty(rows):
    assert rows[0]["Background: code"] == ""
    assert rows[0]["Lens"] == ""
    assert rows[2]["Shot"] == ""
    assert rows[2]["Planned items met"] == ""
    refused = dict(rows[4])
    said = {name: refused.pop(name) for name in ("Picture", "File", "Measured", "Why not")}
    assert said == {
        "Picture": "5",
        "File": "e/empty.jpg",
        "Measured": "no",
        "Why not": audit().images[4].reason.message,
    }
    assert not any(refused.values())


def test_lines_end_as_rfc_4180_asks():
    text = measurement_table(audit())
    assert text.endswith("\r\n")
    assert text.count("\n") == text.count("\r\n") == 6


def test_the_columns_do_not_depend_on_the_pictures():
    reason = ReasonRecord(code="damaged", message="Damaged.")
    refused = RefusedPictureRecord(file="a", status="refused", reason=reason)
    header = measurement_table(audit()).splitlines()[0]
    assert measurement_table(audit(images=[refused])).splitlines()[0] == header
    assert measurement_table(audit(images=[])).splitlines() == [header]
    (headings,) = csv.reader([header])
    assert len(set(headings)) == len(headings)


# OWASP, "CSV Injection": fields that begin with = + - @, tab or carriage return; Unicode's
# characters of full width for the same.
@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠", " ="])
def test_no_text_is_taken_for_a_formula(start):
    image = measured(f"{start}cmd|' /C calc'!A0.jpg", creator=f"{start}HYPERLINK(1)")
    (row,) = rows_of(audit(images=[image]))
    assert row["File"].startswith("'")
    assert row["Creator"].startswith("'")


def test_negative_numbers_stay_numbers(rows):
    assert float(rows[0]["Diagonal (°)"]) == -32.0


def test_ordinary_text_is_left_alone():
    assert for_csv("kettle-2.jpg") == "kettle-2.jpg"
    assert for_csv("crème, brûlée.jpg") == "crème, brûlée.jpg"


def test_a_name_that_is_no_unicode_can_be_written():
    text = measurement_table(audit(images=[measured("thé\udce9.jpg")]))
    assert "thé?.jpg" in text
    assert text.encode("utf-8")
