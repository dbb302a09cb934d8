"""A broken rule is one finding, first in the list, and a fact is told once."""

from dataclasses import replace

import pytest

from auditor.delivery.judged import JudgedRule, Outcome, Why
from auditor.delivery.rules import Asked, Rule
from auditor.findings.codes import is_breaking
from auditor.findings.gathering import gather_findings
from auditor.photograph.photograph import CameraSettings
from auditor.series.alike import AlikePictures
from tests.delivery.test_picture_rules import WRITING
from tests.factories import measured_photograph
from tests.findings.audited import audited, followed, lines_of, record_of


def missed(rule, *files, channel=None, asked="none", together=False):
    of = Rule(rule, Asked(asked), channel)
    if together:
        return [JudgedRule(of, Outcome("missed", 1.0), None, files)]
    return [JudgedRule(of, Outcome("missed", None, Why.PRESENT), file) for file in files]


def with_delivery(judged, **changes):
    return replace(audited(**changes), delivery=judged)


def codes(found):
    return [str(finding.code) for finding in gather_findings(found)]


def located(found):
    pictures = [
        measured_photograph(file=one.file, camera=CameraSettings(has_gps=True))
        for one in found.pictures
    ]
    return replace(found, pictures=pictures)


def test_one_finding_for_each_broken_rule_with_its_pictures():
    judged = [
        *missed("bytes", "3.jpg", asked="at most 8 MB"),
        *missed("location", "0.jpg", "2.jpg"),
        JudgedRule(Rule("border", Asked("none")), Outcome("met"), "0.jpg"),
        JudgedRule(
            Rule("writing", Asked("none")), Outcome("undecided", None, Why.REFUSED), "1.jpg"
        ),
    ]
    found = gather_findings(with_delivery(judged))
    assert [(one.code, one.rule, one.files) for one in found] == [
        ("delivery", "location", ("0.jpg", "2.jpg")),
        ("delivery", "bytes", ("3.jpg",)),
    ]
    assert all(is_breaking(one.code) for one in found)


def test_a_location_that_a_rule_forbids_is_told_once():
    located_set = located(with_delivery(missed("location", *(f"{n}.jpg" for n in range(5)))))
    assert codes(located_set) == ["delivery"]
    some = located(with_delivery(missed("location", "0.jpg")))
    assert codes(some) == ["location"] * 4 + ["delivery"]
    # Without such a rule the location is told as ever, before the rules.
    other = located(with_delivery(missed("bytes", "0.jpg")))
    assert codes(other) == ["location"] * 5 + ["delivery"]


def test_writing_that_a_rule_forbids_is_told_once():
    found = with_delivery(missed("writing", "1.jpg"))
    pictures = [
        replace(one, writing=(WRITING,)) if one.file == "1.jpg" else one for one in found.pictures
    ]
    assert codes(replace(found, pictures=pictures)) == ["delivery"]
    assert codes(replace(found, pictures=pictures, delivery=None)) == ["writing"]


def test_doubles_that_a_rule_forbids_are_told_once():
    alike = (AlikePictures(("0.jpg", "1.jpg"), same_file=False),)
    judged = missed("same_picture_twice", "0.jpg", "1.jpg", together=True)
    assert codes(with_delivery(judged, alike=alike)) == ["delivery"]
    assert codes(with_delivery([], alike=alike)) == ["nearly_the_same"]


@pytest.mark.parametrize(("quantity", "expected"), [("exposure", 1), ("subject_size", 2)])
def test_a_picture_that_leaves_the_set_in_colour_or_tone_is_told_with_its_remedy(
    quantity, expected
):
    outliers = (followed(quantity, "EV", ("1.jpg", -1.2, -1.2)),)
    judged = missed("one_look", "1.jpg", asked="exposure")
    found = codes(with_delivery(judged, quantities=outliers))
    assert len(found) == expected
    assert "set_outlier" in found


def test_the_lines_of_a_terminal():
    judged = [
        *missed("location", "0.jpg"),
        *missed("border", "1.jpg", "2.jpg"),
        *missed("pictures", asked="at least 2", channel="web", together=True),
        *missed("same_picture_twice", "3.jpg", "4.jpg", together=True),
    ]
    assert lines_of(with_delivery(judged)) == [
        "0.jpg: The file contains the place where it was taken (GPS).",
        "2 pictures break the rule “No border”: 1.jpg, 2.jpg",
        "1 picture, at least 2 asked (channel web).",
        "The same picture, or nearly the same, is there more than once: 3.jpg, 4.jpg",
    ]


def test_the_record_has_the_rules_with_their_sentences():
    record = record_of(with_delivery(missed("border", "1.jpg")))
    assert record.delivery is not None
    (one,) = record.delivery
    assert (one.rule, one.file, one.verdict, one.reason) == ("border", "1.jpg", "missed", "present")
    assert one.message == "The picture has a border."
    assert record_of(audited()).delivery is None
    assert record_of(with_delivery([])).delivery == []
