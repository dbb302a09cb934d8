"""The page of a plan with rules, numbers, things left out and reasons."""

import re

from auditor.geometry import Box
from auditor.page.drawing.picture_marks import draw_overlay
from auditor.page.drawing.planned import Planned
from auditor.page.html import render_page
from auditor.page.links import link_pictures
from auditor.page.overview import overview_of
from auditor.page.picture_view import picture_view
from auditor.page.rules_view import rule_views
from auditor.record.plan_records import MatchRecord, SetRuleRecord, ZoneRecord
from auditor.wording.messages import with_messages
from tests.records import NAMES, audit, item, items, measured

RULES = [
    SetRuleRecord(
        rule="overhead",
        asked="at least 2",
        verdict="missed",
        files=[NAMES[3]],
        open_files=[NAMES[0], NAMES[2]],
    ),
    SetRuleRecord(rule="pictures", asked="4", verdict="met", files=list(NAMES)),
    SetRuleRecord(
        rule="neighbours",
        asked="different angles",
        verdict="missed",
        files=list(NAMES[:2]),
        pairs=[(NAMES[0], NAMES[1])],
    ),
]
REASON = 'the <window> & "all" needed it'


def box(number, element):
    return MatchRecord(
        bbox=(0.1 * number, 0.1, 0.1 * number + 0.05, 0.2), element=element, seen_as="outline"
    )


def counted(verdict):
    made = item("count", 2.0, 2.0, 0.0, None, "", verdict, element="two bowls")
    return made.model_copy(update={"counted": [box(1, 0), box(2, None)]})


def unwanted(verdict, match):
    made = item("without", None, None, None, None, "", verdict, element="fork")
    return made.model_copy(update={"match": match})


def with_items(*own, **changes):
    picture = audit().images[0]
    plan = picture.plan.model_copy(update={"items": list(own), **changes})
    images = [picture.model_copy(update={"plan": plan})]
    return with_messages(audit(images=images, findings=[]))


def meant():
    camera = next(one for one in items() if one.quantity == "camera_elevation")
    return camera.model_copy(update={"on_purpose": REASON})


def test_each_rule_stands_with_its_pictures():
    record = audit(set_rules=RULES)
    overhead, pictures, neighbours = rule_views(record, link_pictures(record.images))
    assert (overhead.title, overhead.verdict) == ("Overhead: at least 2", "missed")
    assert [[link.number for link in links] for links in overhead.counted] == [[4]]
    assert [link.number for link in overhead.unknown] == [1, 3]
    assert (pictures.counted, pictures.is_of_pairs) == ((), False)
    assert [[link.number for link in links] for links in neighbours.counted] == [[1, 2]]
    assert neighbours.is_of_pairs


def test_the_page_has_the_rules_of_the_record_and_none_without():
    text = render_page(audit(set_rules=RULES), {})
    rules = text.split('<div class="rules">')[1].split("</div>")[0]
    words = " ".join(re.sub(r"<[^>]+>", " ", rules).split())
    assert "Overhead: at least 2 missed 1 picture overhead" in words
    assert "Pictures that count: 4 . Not known of: 1 , 3 ." in words
    assert "Pairs: 1 – 2 ." in words
    assert '<div class="rules">' not in render_page(audit(), {})


def test_a_miss_on_purpose_stands_apart_with_verdict_and_reason():
    record = with_items(meant(), *[one for one in items() if one.verdict == "met"][:2])
    view = picture_view(record.images[0], link_pictures(record.images)[NAMES[0]], None, [])
    assert [(one.shape, one.n, one.word) for one in view.tallies] == [
        ("met", 2, "met"),
        ("meant", 1, "on purpose"),
    ]
    assert (view.misses, len(view.meant)) == ((), 1)
    row = view.rows[0]
    assert (row.verdict, row.is_on_purpose) == ("missed", True)
    assert row.note == f"On purpose: {REASON}."
    text = render_page(record, {})
    assert "the &lt;window&gt; &amp; &#34;all&#34; needed it" in text
    assert "<window>" not in text


def test_a_quantity_that_is_only_off_on_purpose_has_no_row_in_the_overview():
    record = with_items(meant())
    record = record.model_copy(update={"images": [*record.images, measured("another.jpg")]})
    overview = overview_of(record, link_pictures(record.images), {})
    assert overview.quantities == ()
    assert [(one.n, one.word) for one in overview.tallies] == [(1, "on purpose")]
    assert overview.contact[0].state == "1 on purpose"


def test_the_page_says_that_the_mirror_image_was_taken():
    said = with_items(items()[1], mirrored=True)
    assert "left and right are exchanged in everything but the light" in render_page(said, {})
    assert "mirror image of the planned" not in render_page(with_items(items()[1]), {})


def drawn(*own):
    picture = measured(plan=audit().images[0].plan.model_copy(update={"items": list(own)}))
    return [(one.name, one.is_element) for one in Planned.of(picture).supporting]


def test_each_of_several_things_is_named_on_the_picture():
    assert drawn(counted("met")) == [("bowls 1", True), ("bowls 2", False)]
    assert [name for name, _ in drawn(counted("undecided"))] == ["bowls 1?", "bowls 2?"]


def test_where_several_things_were_planned_is_drawn_if_none_was_found():
    zone = ZoneRecord(words="left", boxes=[(0.0, 0.0, 0.3, 1.0)])
    none = counted("missed").model_copy(update={"counted": [], "zone": zone})
    picture = measured(plan=audit().images[0].plan.model_copy(update={"items": [none]}))
    (thing,) = Planned.of(picture).supporting
    assert (thing.name, thing.taken, thing.place.boxes) == (
        "two bowls",
        None,
        (Box(0.0, 0.0, 0.3, 1.0),),
    )
    assert draw_overlay(picture, 600, 400).layers


def test_what_should_be_left_out_is_named_only_where_something_was_found():
    assert drawn(unwanted("met", None)) == []
    assert drawn(unwanted("missed", box(1, 0))) == [("fork", True)]
    assert drawn(unwanted("undecided", box(1, None))) == [("fork?", False)]
