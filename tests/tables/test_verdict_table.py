"""The table of verdicts, as a spreadsheet reads it."""

import csv
import io

import pytest

from auditor.tables.verdicts import HEADINGS, verdict_table
from tests.records import audit, measured


def rows_of(record):
    return list(csv.DictReader(io.StringIO(verdict_table(record).removeprefix("\ufeff"))))


def test_one_row_for_each_planned_item():
    record = audit()
    items = [
        (str(number), picture.file, item.verdict)
        for number, picture in enumerate(record.images, start=1)
        if picture.status == "measured" and picture.plan
        for item in picture.plan.items
    ]
    assert items
    found = [(row["Picture"], row["File"], row["Verdict"]) for row in rows_of(record)]
    assert found == items


def test_without_a_plan_there_is_a_heading_alone():
    (line,) = verdict_table(audit(with_plan=False)).splitlines()
    assert line == "\ufeff" + ",".join(HEADINGS)


def test_off_by_and_allowed_are_numbers_in_the_unit_beside_them():
    rows = rows_of(audit())
    n_numbers = 0
    for row in rows:
        for name in ("Off by", "Allowed"):
            if row[name]:
                float(row[name])
                n_numbers += 1
        if row["Unit"].startswith("%") and row["Off by"]:
            assert abs(float(row["Off by"])) <= 100
    assert n_numbers > len(rows)


def test_a_difference_is_in_per_cent_where_the_unit_says_so():
    picture = audit().images[0]
    size = next(item for item in picture.plan.items if item.unit == "fraction of frame")
    changed = size.model_copy(update={"difference": -0.125, "tolerance": 0.08})
    plan = picture.plan.model_copy(update={"items": [changed]})
    (row,) = rows_of(audit(images=[measured("a.jpg", plan=plan)]))
    assert (row["Off by"], row["Allowed"], row["Unit"]) == ("-12.5", "8.0", "% of the frame")


@pytest.mark.parametrize("name", ["=1+1", "@sum", "＝1"])
def test_no_name_is_taken_for_a_formula(name):
    picture = audit().images[0]
    plan = picture.plan.model_copy(update={"shot": name, "items": picture.plan.items[:1]})
    (row,) = rows_of(audit(images=[measured(f"{name}.jpg", plan=plan)]))
    assert row["Shot"] == f"'{name}"
    assert row["File"] == f"'{name}.jpg"
