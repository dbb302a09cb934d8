"""Findings about pictures by themselves: additions and sharpness."""

import dataclasses

import pytest

from auditor.geometry import Box, Point
from auditor.measurements.additions import Border, Writing
from auditor.measurements.focus import Focus
from auditor.quantity import Quantity
from tests.findings.audited import audited, lines_of, record_of

BORDER = Quantity.measured(
    Border(Box(0.1, 0.1, 0.9, 0.9), "#ffffff"), confidence=0.95, tolerance=0.01
)
CORNERS = (Point(0.6, 0.92), Point(0.95, 0.92), Point(0.95, 0.96), Point(0.6, 0.96))
WRITING = Quantity.measured(Writing(CORNERS, 0.0), confidence=0.95, tolerance=0.05)


def changed(n=5, **of):
    """A set of pictures; for some by number, fields that are replaced."""
    found = audited(n=n)
    pictures = [
        dataclasses.replace(picture, **of.get(f"p{number}", {}))
        for number, picture in enumerate(found.pictures)
    ]
    return dataclasses.replace(found, pictures=pictures)


def codes(found):
    return [(finding.code.value, finding.files) for finding in record_of(found).findings]


def test_writing_on_a_picture_is_a_finding_before_hand_over():
    found = changed(p2={"writing": (WRITING,)})
    assert codes(found) == [("writing", ["2.jpg"])]
    (line,) = lines_of(found)
    assert line.startswith("2.jpg: The picture seems to carry writing, at the bottom on the right")


def test_a_picture_with_undecoded_rows_is_a_finding_before_hand_over():
    found = changed(p3={"undecoded_fraction": 0.234})
    assert codes(found) == [("incomplete", ["3.jpg"])]
    record = record_of(found)
    assert (record.findings[0].value, record.findings[0].gravity) == (0.234, "hand_over")
    assert lines_of(found) == [
        "3.jpg: 23% of the picture is one flat grey: its data seem to be missing."
    ]


def test_writing_on_several_pictures_is_one_finding():
    found = changed(p2={"writing": (WRITING,)}, p4={"writing": (WRITING, WRITING)})
    assert codes(found) == [("writing", ["2.jpg", "4.jpg"])]
    assert lines_of(found) == [
        "2 pictures carry a caption, a signature or a watermark: 2.jpg, 4.jpg"
    ]


def test_a_border_that_the_whole_set_has_is_none():
    every = {f"p{number}": {"border": BORDER} for number in range(5)}
    assert codes(changed(**every)) == []
    assert codes(changed(n=1, p0={"border": BORDER})) == []


def test_of_pictures_with_and_without_a_border_the_fewer_are_named():
    one = changed(p1={"border": BORDER})
    assert codes(one) == [("border", ["1.jpg"])]
    assert lines_of(one) == ["1.jpg: The picture has a border, unlike the others."]
    most = changed(**{f"p{number}": {"border": BORDER} for number in (0, 1, 2)})
    assert codes(most) == [("border", ["3.jpg", "4.jpg"])]
    assert lines_of(most) == ["2 pictures have no border, unlike the others: 3.jpg, 4.jpg"]


def focus(cause, confidence):
    value = Focus(0.4, Point(0.2, 0.2), subject_in_focus=False, cause=cause,
                  cause_confidence=confidence)  # fmt: skip
    return {"focus": Quantity.measured(value, confidence=0.9, tolerance=0.06)}


@pytest.mark.parametrize("cause", ["missed focus", "motion blur"])
def test_a_picture_that_is_not_sharp_has_to_be_shot_again(cause):
    found = changed(p3=focus(cause, 0.9))
    assert codes(found) == [(cause.replace(" ", "_"), ["3.jpg"])]
    (entry,) = record_of(found).attention
    assert entry.gravity == "reshoot"
    assert "shoot again" in entry.to_do[0]


@pytest.mark.parametrize("cause", ["shallow focus", "deep focus", "soft all over", None])
def test_other_causes_are_no_findings(cause):
    assert codes(changed(p3=focus(cause, 0.9))) == []


def test_the_surest_comes_first():
    found = changed(p1=focus("motion blur", 0.86), p3=focus("motion blur", 0.94))
    assert codes(found) == [("motion_blur", ["3.jpg"]), ("motion_blur", ["1.jpg"])]
