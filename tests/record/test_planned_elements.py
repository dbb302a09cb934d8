"""Planned elements in the record."""

import dataclasses
import json

from auditor.comparison.supporting import compare_supporting
from auditor.geometry import Point
from auditor.measurements.thin_things import ThinThing
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Intent, PlannedThing
from auditor.record.audit_record import AuditRecord
from auditor.vocabulary.places import zone_of_place
from tests.factories import measured_photograph
from tests.findings.audited import audited, record_of

THIN = ThinThing((Point(0.9, 0.1), Point(0.95, 0.3)), 0.01, 0.3)


def planned_image():
    picture = measured_photograph(file="0.jpg", thin_things=(THIN,))
    zone = zone_of_place("lower left", None)
    planned = (
        PlannedThing("jar", zone.point, None, zone),
        PlannedThing("cup", Point(0.7, 0.8)),
        PlannedThing("spoon", Point(0.92, 0.2)),
    )
    items = compare_supporting(Intent(supporting=planned), picture, DEFAULT_TOLERANCES)
    found = dataclasses.replace(audited({0: items}, n=1), pictures=[picture])
    return record_of(found)


def test_the_record_says_what_each_planned_element_was_taken_to_be():
    image = planned_image().images[0]
    jar, cup, spoon = image.plan.items
    assert (jar.verdict, jar.match.element, jar.match.seen_as) == ("met", 0, "outline")
    assert jar.match.bbox == image.elements[0].bbox
    assert (cup.match.element, spoon.match.element, spoon.match.seen_as) == (1, None, "edges")
    assert image.thin_things[0].ends == ((0.9, 0.1), (0.95, 0.3))


def test_a_place_in_words_has_its_zone_and_keeps_its_position():
    jar, cup, _ = planned_image().images[0].plan.items
    assert (jar.zone.words, cup.zone) == ("lower left", None)
    assert jar.planned == [0.33333, 0.66667]
    assert jar.zone.boxes == [(0.0, 0.66667, 0.33333, 1.0)]
    assert jar.difference == 0.0


def test_what_is_written_is_read_back():
    record = planned_image()
    written = json.loads(record.model_dump_json())
    assert AuditRecord.model_validate(written) == record
