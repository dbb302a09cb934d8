"""Words for borders and writing."""

import pytest

from auditor.record.addition_records import BorderRecord, WritingRecord
from auditor.wording.additions import additions_words
from auditor.wording.measured_rows import measured_rows
from tests.records import measured


def line(left, top, right, bottom, angle_deg=0.0):
    corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
    return WritingRecord(corners=corners, angle_deg=angle_deg, confidence=0.93, tolerance=0.05)


def border(*inside):
    return BorderRecord(inside=inside, hex="#ffffff", has_round_corners=False, confidence=0.95)


@pytest.mark.parametrize(
    ("box", "angle_deg", "place"),
    [
        ((0.6, 0.92, 0.95, 0.96), 0.0, "at the bottom on the right"),
        ((0.05, 0.92, 0.4, 0.96), 0.0, "at the bottom on the left"),
        ((0.2, 0.9, 0.8, 0.95), 0.0, "at the bottom"),
        ((0.05, 0.04, 0.3, 0.08), 0.0, "at the top on the left"),
        ((0.1, 0.45, 0.9, 0.55), 0.0, "across it"),
        ((0.1, 0.2, 0.9, 0.8), 30.0, "diagonally across it"),
    ],
)
def test_the_place_of_writing(box, angle_deg, place):
    words = additions_words(measured(writing=[line(*box, angle_deg)]))
    assert words == f"1 line of writing, {place}"


def test_a_border_names_its_sides():
    around = additions_words(measured(border=border(0.05, 0.05, 0.95, 0.9)))
    assert around.startswith("a border all around, ")
    assert around.endswith("up to 10% of a side")
    foot = additions_words(measured(border=border(0.0, 0.0, 1.0, 0.88)))
    assert foot.startswith("a border at bottom, ")
    assert foot.endswith("up to 12%")


def test_the_row_stands_only_where_something_was_found():
    assert "Border and writing" not in {row.title for row in measured_rows(measured())}
    added = measured(border=border(0.05, 0.05, 0.95, 0.9), writing=[line(0.2, 0.9, 0.8, 0.95)])
    row = next(row for row in measured_rows(added) if row.title == "Border and writing")
    assert "; 1 line of writing, at the bottom" in row.value.text
    assert row.certainty == "93% probable"
