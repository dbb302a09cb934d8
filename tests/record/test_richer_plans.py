"""Numbers, what is left out, rules and reasons in the record and its table."""

import csv
import dataclasses
import io
import json

import pytest
from pydantic import ValidationError

from auditor.comparison.compare import compare
from auditor.comparison.item import Verdict
from auditor.comparison.set_rules import JudgedRule
from auditor.geometry import Point
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, PlannedRule, PlannedThing, Purpose, Shot
from auditor.record.audit_record import AuditRecord
from auditor.record.plan_records import SetRuleRecord
from auditor.tables.measurements import measurement_table
from auditor.vocabulary.how_many import how_many
from tests.factories import measured_photograph
from tests.findings.audited import audited, record_of
from tests.intents import intent_with

INTENT = intent_with(
    supporting=(PlannedThing("two bowls", count=how_many("2")),),
    without=(PlannedThing("napkin", Point(0.1, 0.1)), PlannedThing("cup")),
    camera_elevation=70.0,
)


def record():
    shot = Shot("tea", ("*",), INTENT, (Purpose("the window", ("camera_elevation",)),))
    items = compare(shot, measured_photograph(file="0.jpg"), DEFAULT_TOLERANCES)
    found = audited({0: items}, n=2)
    planned = dataclasses.replace(found.planned["0.jpg"], mirrored=True)
    rule = JudgedRule(
        PlannedRule("overhead", how_many("at least 1"), "at least 1"),
        Verdict.UNDECIDED,
        (),
        ("0.jpg", "1.jpg"),
    )
    return record_of(dataclasses.replace(found, planned={"0.jpg": planned}, rules=(rule,)))


def items_of(made):
    return {(item.quantity, item.element): item for item in made.images[0].plan.items}


def test_a_number_of_things_has_what_was_counted():
    item = items_of(record())["count", "two bowls"]
    assert (item.kind, item.planned, item.measured, item.verdict) == ("count", 2.0, 2.0, "met")
    assert (item.accepts.words, item.accepts.spans) == ("2", [(2.0, 2.0)])
    assert [match.element for match in item.counted] == [0, 1]


def test_what_must_not_be_there_has_where_it_must_not_be():
    items = items_of(record())
    assert items["without", "napkin"].planned == [0.1, 0.1]
    assert (items["without", "cup"].planned, items["without", "cup"].kind) == (None, "place")


def test_a_reason_stands_with_its_item_and_the_mirror_with_its_picture():
    made = record()
    items = items_of(made)
    assert items["camera_elevation", None].on_purpose == "the window"
    assert items["camera_elevation", None].verdict == "missed"
    assert items["count", "two bowls"].on_purpose == ""
    assert made.images[0].plan.mirrored
    assert "mirror image" in made.images[0].plan.message


def test_a_rule_has_its_pictures_and_its_sentence():
    (rule,) = record().set_rules
    assert (rule.rule, rule.asked, rule.verdict) == ("overhead", "at least 1", "undecided")
    assert (rule.files, rule.open_files, rule.pairs) == ([], ["0.jpg", "1.jpg"], [])
    assert rule.message.endswith(".")
    with pytest.raises(ValidationError):
        SetRuleRecord(rule="hero", asked="1", verdict="close", files=[])


def test_what_is_written_is_read_back():
    made = record()
    assert AuditRecord.model_validate(json.loads(made.model_dump_json())) == made


def test_the_table_counts_what_is_on_purpose_apart():
    first, second = csv.DictReader(io.StringIO(measurement_table(record()), newline=""))
    assert (first["Planned items missed"], first["Planned items off on purpose"]) == ("0", "1")
    assert (first["Mirror image"], second["Mirror image"]) == ("yes", "")


def test_a_record_from_before_has_no_rules():
    written = json.loads(record().model_dump_json())
    del written["set_rules"]
    for item in written["images"][0]["plan"]["items"]:
        del item["on_purpose"], item["counted"]
    assert AuditRecord.model_validate(written).set_rules == []
