"""Findings about the plan's rules for the set, and none about what is on purpose."""

import dataclasses

from auditor.comparison.item import Verdict
from auditor.comparison.set_rules import JudgedRule
from auditor.findings.codes import FindingCode, is_breaking
from auditor.findings.gathering import gather_findings
from auditor.plan.shot_plan import PlannedRule
from auditor.values import Angle, Clock, Colours, Words
from auditor.vocabulary.how_many import how_many
from auditor.wording.attention import attention_lines
from tests.findings.audited import audited, followed, lines_of, missed, record_of

LOW = missed("camera_elevation", Angle(70.0), Angle(46.0), -24.0, 10.0)
DARK = missed("surface", Colours(("#b3aa9c",)), Colours(("#726b61",)), 22.2, 10.0)
SIDE = missed("light", Clock(10.5), Clock(1.8), 3.3, 1.0)


def meant(item):
    return dataclasses.replace(item, on_purpose="the window")


def rule(name, asked, verdict, files=(), pairs=()):
    accepted = None if name == "neighbours" else how_many(asked)
    return JudgedRule(PlannedRule(name, accepted, asked), verdict, files, (), pairs)


def with_rules(*rules):
    return dataclasses.replace(audited(), rules=rules)


def test_a_missed_rule_is_a_finding_and_breaks_the_set():
    (finding,) = gather_findings(
        with_rules(
            rule("overhead", "at least 2", Verdict.MISSED, ("1.jpg",)),
            rule("hero", "1", Verdict.MET, ("2.jpg",)),
            rule("low", "3", Verdict.UNDECIDED, ("2.jpg",)),
        )
    )
    assert (finding.code, finding.rule, finding.files) == (
        FindingCode.SET_RULE,
        "overhead",
        ("1.jpg",),
    )
    assert (finding.value, finding.expected, finding.severity) == (1.0, Words("at least 2"), 1.0)
    assert is_breaking(finding.code)


def test_what_is_said_of_missed_rules():
    pairs = (("0.jpg", "1.jpg"), ("3.jpg", "4.jpg"))
    files = ("0.jpg", "1.jpg", "3.jpg", "4.jpg")
    found = with_rules(
        rule("landscape", "2", Verdict.MISSED),
        rule("overhead", "at least 2", Verdict.MISSED, ("1.jpg",)),
        rule("pictures", "3", Verdict.MISSED, tuple(f"{n}.jpg" for n in range(5))),
        rule("neighbours", "different angles", Verdict.MISSED, files, pairs),
    )
    assert lines_of(found) == [
        "No picture in landscape format, 2 planned.",
        "5 pictures in the set, 3 planned.",
        "2 pairs of neighbours are seen from one camera angle: 0.jpg, 1.jpg, 3.jpg, 4.jpg",
        "1 picture overhead, at least 2 planned: 1.jpg",
    ]
    record = record_of(found)
    assert [(entry.gravity, entry.to_do) for entry in record.attention] == [
        ("reshoot", ["Shoot what is missing, or change the rule."]),
        ("reshoot", ["Shoot what is missing, or change the rule."]),
        ("look", ["Leave pictures out, or change the rule."]),
        ("look", ["Change the order of the pictures, or the rule."]),
    ]
    assert "(0.jpg and 1.jpg, 3.jpg and 4.jpg)" in attention_lines(record, 20)[-1]


def test_what_is_missed_on_purpose_is_no_finding():
    assert gather_findings(audited({0: [meant(LOW)]})) == ()
    one, other = audited({0: [LOW]}), audited({0: [LOW], 1: [meant(LOW)]})
    assert lines_of(other) == lines_of(one)


def test_what_is_on_purpose_does_not_make_a_miss_frequent():
    items = {number: [LOW] for number in range(3)} | {3: [meant(LOW)]}
    codes = [finding.code for finding in gather_findings(audited(items))]
    assert codes == [FindingCode.MISSED] * 3


def test_what_is_on_purpose_may_leave_the_set():
    outlier = followed("light", "h", ("0.jpg", 1.8, 3.5), ("1.jpg", 2.0, 3.7), centre=10.25)
    found = gather_findings(audited({0: [meant(SIDE)]}, quantities=(outlier,)))
    assert [(finding.code, finding.files) for finding in found] == [
        (FindingCode.SET_OUTLIER, ("1.jpg",))
    ]


def test_what_is_on_purpose_excuses_the_exposure_that_causes_it_and_no_other():
    dark = followed("exposure", "EV", ("0.jpg", -0.1, -1.2))
    excused = audited({0: [meant(DARK)]}, quantities=(dark,))
    assert gather_findings(excused) == ()
    assert "leaves the set" not in " ".join(record_of(excused).headline)
    light = followed("exposure", "EV", ("0.jpg", 2.3, 1.2))
    too_light = audited({0: [meant(DARK)]}, quantities=(light,))
    assert [finding.quantity for finding in gather_findings(too_light)] == ["exposure"]
    assert "leaves the set" in " ".join(record_of(too_light).headline)


def test_a_reason_for_one_quantity_does_not_excuse_another():
    roll = followed("roll", "deg", ("0.jpg", 3.0, 3.0))
    found = gather_findings(audited({0: [meant(SIDE)]}, quantities=(roll,)))
    assert [finding.quantity for finding in found] == ["roll"]


def test_the_number_of_pictures_beyond_a_rule_is_its_weight():
    many = rule("overhead", "at most 1", Verdict.MISSED, ("0.jpg", "1.jpg", "2.jpg", "3.jpg"))
    few = rule("low", "at most 1", Verdict.MISSED, ("0.jpg", "1.jpg"))
    assert [finding.rule for finding in gather_findings(with_rules(few, many))] == [
        "overhead",
        "low",
    ]
