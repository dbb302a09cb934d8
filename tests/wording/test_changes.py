"""What changed between two audits: each kind of change in its sentence, each cause once."""

import pytest

from auditor.history.changes import compare_audits
from auditor.record.audit_record import ShotRecord
from auditor.record.base import ReasonRecord
from auditor.record.delivery_record import DeliveryRecord
from auditor.record.kind_record import KindRecord
from auditor.record.picture_record import RefusedPictureRecord
from auditor.record.plan_records import (
    AcceptedRecord,
    PicturePlanRecord,
    SetRuleRecord,
    ZoneRecord,
)
from auditor.record.series_records import SeriesRecord
from auditor.values import ValueKind
from auditor.wording.changes import NOTHING_CHANGED, change_sentences
from auditor.wording.messages import with_messages
from tests.records import (
    HOSTILE,
    NAMES,
    audit,
    finding,
    item,
    measured,
    richer_audit,
    series,
    set_rules,
)

NO_SERIES = SeriesRecord(quantities=[], colour_temperature_clusters=[], duplicates=[], groups=[])


def camera(planned=45.0, measured_deg=46.0, verdict="met", **changes):
    one = item(
        "camera_elevation", planned, measured_deg, measured_deg - planned, 10.0, "deg", verdict
    )
    return one.model_copy(update=changes)


def light(verdict="met"):
    return item("light", 10.5, 10.5, 0.0, 1.25, "h", verdict)


def planned(file, *items, shot="tart", content=None, mirrored=False):
    plan = PicturePlanRecord(shot=shot, items=list(items), mirrored=mirrored) if items else None
    changes = {} if content is None else {"sha256": f"{content:064x}"}
    return measured(file, plan=plan, **changes)


def record(*images, findings=(), **changes):
    """A record of these pictures; its shots follow from them."""
    shots = {}
    for image in images:
        if image.status == "measured" and image.plan is not None:
            shots.setdefault(image.plan.shot, []).append(image.file)
    fields = {
        "images": list(images),
        "shots": [ShotRecord(name=n, files=f, missing=not f) for n, f in shots.items()],
        "findings": list(findings),
        "series": NO_SERIES,
        **changes,
    }
    return audit(refused=False, **fields)


def said(before, after):
    return change_sentences(compare_audits(before, after))


@pytest.mark.parametrize("make", [audit, richer_audit, lambda: audit(with_plan=False)])
def test_of_two_equal_audits_nothing_changed(make):
    assert said(make(), make()) == [NOTHING_CHANGED]
    later = make().model_copy(
        update={"created": "2027-01-01T00:00:00+00:00", "folder": "elsewhere", "plan": make().plan}
    )
    assert said(make(), later) == [NOTHING_CHANGED]


def test_a_changed_item_is_said_once_with_its_verdict_and_without_its_finding():
    before = record(planned("a.jpg", camera(), light()))
    missed = camera(75.0, 46.0, "missed")
    after = record(
        planned("a.jpg", missed, light()),
        findings=[
            finding(
                "missed",
                "a.jpg",
                quantity="camera_elevation",
                kind="angle",
                value=46.0,
                expected=75.0,
            )
        ],
    )
    (line,) = said(before, after)
    assert line == (
        "“tart”: camera angle is now planned as high (75°) instead of three-quarter (45°); in "
        "a.jpg it was met and is now missed."
    )


def test_a_changed_item_without_a_new_verdict():
    before = record(planned("a.jpg", camera()))
    after = record(planned("a.jpg", camera(50.0)))
    (line,) = said(before, after)
    assert line.endswith("; in a.jpg it is met, as before.")


def test_a_change_for_the_whole_set_is_one_sentence_that_counts():
    names = [f"{n}.jpg" for n in range(6)]
    before = record(*(planned(name, camera(), shot=f"shot {name}") for name in names))
    after = record(
        *(
            planned(name, camera(60.0, verdict="missed" if n < 4 else "met"), shot=f"shot {name}")
            for n, name in enumerate(names)
        )
    )
    (line,) = said(before, after)
    assert line.startswith("In 6 shots: camera angle is now planned as three-quarter (60°)")
    assert line.endswith("; of 6 pictures, 4 that were met are now missed.")


def test_the_zones_of_a_place_are_compared_by_their_words():
    """The zone of "behind" lies elsewhere in each picture."""
    one = item("supporting", [0.5, 0.1], [0.5, 0.1], 0.0, 0.1, "fraction of diagonal", "met", "jar")
    zones = [ZoneRecord(words="behind", boxes=[(0.0, 0.0, 1.0, y)]) for y in (0.3, 0.4)]
    first, second = (one.model_copy(update={"zone": zone}) for zone in zones)
    second = second.model_copy(update={"planned": [0.5, 0.2]})
    before = record(planned("a.jpg", first, content=1))
    assert said(before, record(planned("a.jpg", second, content=1))) == [NOTHING_CHANGED]
    beside = ZoneRecord(words="beside", boxes=[(0.0, 0.0, 0.2, 1.0)])
    third = first.model_copy(update={"zone": beside})
    (line,) = said(before, record(planned("a.jpg", third, content=1)))
    assert "the jar is now planned as beside the subject instead of behind the subject" in line


def test_items_that_are_new_or_gone():
    before = record(planned("a.jpg", camera()))
    after = record(planned("a.jpg", camera(), light("missed")))
    (line,) = said(before, after)
    assert line.startswith("“tart”: light is planned now (three-quarter back light from")
    assert line.endswith("; in a.jpg it is missed.")
    (line,) = said(after, before)
    assert line.startswith("“tart”: light is not planned any more (three-quarter")
    assert line.endswith("in a.jpg it was missed.")


def test_another_name_for_a_thing_is_one_change():
    jar, pot = (
        item("supporting", [0.3, 0.7], [0.3, 0.7], 0.0, 0.1, "fraction of diagonal", "met", name)
        for name in ("honey jar", "tea pot")
    )
    (line,) = said(record(planned("a.jpg", jar)), record(planned("a.jpg", pot)))
    assert "the tea pot is planned now instead of the honey jar" in line


def test_a_range_in_place_of_a_value_is_a_change_of_the_plan_and_not_of_the_tolerance():
    accepts = AcceptedRecord(words="three-quarter", spans=[(30.0, 60.0)])
    wide = camera(45.0, accepts=accepts, tolerance=5.0)
    (line,) = said(record(planned("a.jpg", camera())), record(planned("a.jpg", wide)))
    assert "is now planned as three-quarter (30 to 60°) instead of three-quarter (45°)" in line


def test_another_tolerance_is_said_once_for_all():
    before = record(*(planned(name, camera(), shot=name) for name in NAMES))
    after = record(
        *(planned(name, camera(tolerance=2.0, verdict="close"), shot=name) for name in NAMES)
    )
    (line,) = said(before, after)
    assert line == (
        "In 4 shots: camera angle may be off by 2° instead of 10°; of 4 pictures, 4 that were met "
        "are now close."
    )


def test_a_miss_that_is_on_purpose_now():
    missed = camera(75.0, 46.0, "missed")
    meant = camera(75.0, 46.0, "missed", on_purpose="the window needed it")
    (line,) = said(record(planned("a.jpg", missed)), record(planned("a.jpg", meant)))
    assert "camera angle is off its plan on purpose now (the window needed it)" in line
    (line,) = said(record(planned("a.jpg", meant)), record(planned("a.jpg", missed)))
    assert "is not off its plan on purpose any more" in line


def test_a_reason_that_is_not_needed_any_more_is_no_change_of_the_plan():
    meant = camera(75.0, 46.0, "missed", on_purpose="the window needed it")
    before = record(planned("a.jpg", meant, content=1))
    after = record(planned("a.jpg", camera(75.0, 74.0), content=2))
    assert said(before, after) == ["a.jpg was replaced. Camera angle was missed and is now met."]


def test_a_replaced_picture_with_what_followed_is_one_sentence():
    before = record(
        planned("a.jpg", camera(75.0, 46.0, "missed"), light(), content=1),
        findings=[finding("location", "a.jpg")],
    )
    after = record(
        planned("a.jpg", camera(75.0, 74.0), light("close"), content=2),
        findings=[finding("unplanned", "a.jpg")],
    )
    (line,) = said(before, after)
    assert line.startswith(
        "a.jpg was replaced. Camera angle was missed and is now met; light was met and is now "
        "close."
    )
    assert "No longer: The file contains the place" in line
    assert " New: " in line


def test_replaced_pictures_without_consequences_are_counted_together():
    before = record(*(planned(f"{n}.jpg", camera(), content=n) for n in range(1, 9)))
    after = record(*(planned(f"{n}.jpg", camera(), content=100 + n) for n in range(1, 9)))
    (line,) = said(before, after)
    assert line == (
        "1.jpg, 2.jpg, 3.jpg, 4.jpg, 5.jpg and 3 more were replaced; nothing else changed with "
        "that."
    )


def test_added_removed_and_renamed_pictures():
    before = record(planned("a.jpg", camera(), content=1), planned("b.jpg", camera(), content=2))
    after = record(
        planned("c.jpg", camera(), content=1),
        planned("d.jpg", camera(75.0, 46.0, "missed"), content=3),
        findings=[finding("location", "d.jpg")],
    )
    removed, added, renamed = said(before, after)
    assert removed == "Removed: b.jpg."
    assert added.startswith("Added: d.jpg, of “tart”. It misses its plan in 1 item. The file ")
    assert renamed == "Renamed: a.jpg → c.jpg."


def test_no_picture_in_common():
    before, after = record(planned("a.jpg", camera())), record(planned("b.jpg", camera(50.0)))
    assert said(before, after) == ["The two audits have no picture in common."]


def test_a_picture_that_could_not_be_measured():
    reason = ReasonRecord(code="damaged", message="The picture’s data is damaged.")
    refused = RefusedPictureRecord(file="a.jpg", status="refused", reason=reason)
    other = planned("b.jpg", camera())
    before, after = record(planned("a.jpg", camera()), other), record(refused, other)
    (line, *rest) = said(before, after)
    assert line == "a.jpg could not be measured any more. The picture’s data is damaged."
    assert rest == []
    assert said(after, before)[0].startswith("a.jpg could be measured now.")


def test_shots_that_are_new_gone_renamed_or_exchanged():
    before = record(planned("a.jpg", camera()), planned("b.jpg", camera(), shot="cake"))
    named = record(planned("a.jpg", camera()), planned("b.jpg", camera(), shot="honey cake"))
    assert said(before, named) == ["The shot “cake” is called “honey cake” now."]
    swapped = record(planned("a.jpg", camera(), shot="cake"), planned("b.jpg", camera()))
    assert said(before, swapped) == [
        "a.jpg is of “cake” now, before of “tart”.",
        "b.jpg is of “tart” now, before of “cake”.",
    ]
    missing = ShotRecord(name="tea", files=[], missing=True)
    more = before.model_copy(update={"shots": [*before.shots, missing]})
    assert said(before, more) == ["“tea” is planned now and has no picture."]
    assert said(more, before) == ["“tea” is not planned any more."]


def test_a_picture_of_no_shot():
    before = record(planned("a.jpg", camera()), planned("b.jpg", camera()))
    after = record(planned("a.jpg", camera()), planned("b.jpg"))
    assert said(before, after) == ["b.jpg is of no shot now, before of “tart”."]
    assert said(after, before) == ["b.jpg is of “tart” now, before of no shot."]


def test_a_shot_that_lost_its_picture():
    before = record(planned("a.jpg", camera()), planned("b.jpg", camera(), shot="cake"))
    after = record(planned("a.jpg", camera()))
    after = after.model_copy(
        update={"shots": [*after.shots, ShotRecord(name="cake", files=[], missing=True)]}
    )
    assert said(before, after) == ["Removed: b.jpg.", "“cake” has no picture any more."]


def test_a_mirrored_composition_is_no_change_of_its_places():
    def place(x):
        return item("subject", [x, 0.5], [0.3, 0.5], 0.0, 0.08, "fraction of diagonal", "met")

    before = record(planned("a.jpg", place(0.7)))
    after = record(planned("a.jpg", place(0.3), mirrored=True))
    (line,) = said(before, after)
    assert line.startswith("Compared with the mirror image now and not before")


def test_a_plan_that_came_or_went_is_said_and_its_items_are_not():
    before = audit(with_plan=False, findings=[], refused=False)
    after = audit(findings=[], refused=False)
    assert said(before, after) == ["The later audit has a plan, the earlier one had none."]
    assert said(after, before) == ["The earlier audit had a plan, the later one has none."]


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({}, ", though picture and plan are the same"),
        ({"auditor_version": "9.9"}, ""),
    ],
)
def test_a_verdict_without_a_cause_of_its_own(changes, reason):
    before = record(planned("a.jpg", light()))
    after = record(planned("a.jpg", light("undecided")), **changes)
    assert said(before, after)[-1] == f"a.jpg: light was met and is now undecided{reason}."


def test_a_verdict_that_changed_with_the_other_pictures_of_the_set():
    before = record(*(planned(f"{n}.jpg", light()) for n in range(3)))
    after = record(*(planned(f"{n}.jpg", light("close")) for n in range(2)))
    assert said(before, after) == [
        "Removed: 2.jpg.",
        "0.jpg and 1.jpg: light was met and is now close, since other pictures of its set changed.",
    ]


def test_other_versions_are_said_once_and_first():
    before = audit(libraries={"numpy": "1.26", "scipy": "1.13"})
    after = audit(libraries={"numpy": "2.0", "scipy": "1.13"}, auditor_version="0.2.0")
    (line,) = said(before, after)
    assert line == (
        "Other versions (auditor 0.1.0 → 0.2.0, numpy 1.26 → 2.0): measurements may differ for "
        "this reason alone."
    )


def test_statements_about_the_set_that_came_or_went():
    files = list(NAMES)
    bare = audit(refused=False, series=NO_SERIES, findings=[])
    full = audit(refused=False, series=series(files), findings=[finding("border", *files[:2])])
    new = said(bare, full)
    assert f"{files[-1]}, new: Warmer than the rest of the set (57 mired)." in new
    assert any(line.startswith(f"{files[0]}, new: Some pictures of the set") for line in new)
    gone = said(full, bare)
    assert f"{files[-1]}, no longer: Warmer than the rest of the set (57 mired)." in gone
    assert len(gone) == len(new) == 3


def test_findings_about_files_that_came_or_went():
    before = audit(refused=False, with_plan=False, findings=[])
    location = finding("location", NAMES[0])
    alike = finding("nearly_the_same", *NAMES[:2])
    after = audit(refused=False, with_plan=False, findings=[location, alike])
    lines = said(before, after)
    assert lines[0].startswith(f"{NAMES[0]}, new: The file contains the place")
    assert lines[1].startswith(f"{NAMES[0]} and {HOSTILE}, new: Nearly the same picture as 2")


def test_rules_for_the_set():
    before = richer_audit()
    rules = set_rules()
    rules[1] = rules[1].model_copy(update={"verdict": "met", "files": list(NAMES[:2])})
    rules[0] = rules[0].model_copy(update={"asked": "5", "verdict": "missed"})
    rules[2] = SetRuleRecord(rule="square", asked="1", verdict="met", files=[NAMES[1]])
    after = with_messages(before.model_copy(update={"set_rules": rules}))
    assert said(before, after) == [
        "Pictures: 5 is planned instead of 4; the rule was met and is now missed.",
        "Overhead: at least 2: the rule was missed and is now met.",
        "A rule for the set is not planned any more. Hero: 1.",
        "A rule for the set is planned now. Square format: 1: met.",
    ]


def hand_over(*rows):
    return [
        DeliveryRecord(
            rule=rule,
            file=file,
            verdict=verdict,
            asked="at least 3000 px",
            found=2000.0,
            unit="px",
            reason="unknown_profile" if verdict == "undecided" else None,
        )
        for rule, file, verdict in rows
    ]


def test_rules_of_a_hand_over():
    none = audit(refused=False)
    before = audit(
        refused=False,
        delivery=hand_over(
            ("width", NAMES[0], "met"), ("names", None, "met"), ("height", None, "met")
        ),
    )
    after = audit(
        refused=False,
        delivery=hand_over(
            ("width", NAMES[0], "missed"), ("names", None, "met"), ("profile", None, "undecided")
        ),
    )
    assert said(none, before) == [
        "The later audit checks rules of a hand-over, the earlier one did not."
    ]
    assert said(before, after) == [
        (
            f"Hand-over, Width: at least 3000 px, {NAMES[0]}: was met and is now missed. "
            "Width 2000 px, at least 3000 px asked."
        ),
        "Hand-over, Height: at least 3000 px: not checked any more.",
        (
            "Hand-over, Colour profile: at least 3000 px: "
            "Not checkable: the embedded colour profile could not be read."
        ),
    ]


def test_what_a_rule_of_the_later_audit_says_is_not_gone():
    located = finding("location", NAMES[0])
    broken = finding("delivery", NAMES[0], rule="location", expected="none")
    rule = DeliveryRecord(rule="location", file=NAMES[0], verdict="missed", asked="none")
    rule = rule.model_copy(update={"reason": "present"})
    before = audit(refused=False, series=NO_SERIES, findings=[located])
    after = audit(refused=False, series=NO_SERIES, findings=[broken], delivery=[rule])
    assert said(before, after) == [
        "The later audit checks rules of a hand-over, the earlier one did not."
    ]
    (line,) = said(after, before)
    assert "rules of a hand-over" in line


def test_a_rule_of_two_channels_is_compared_channel_by_channel():
    def rows(*verdicts):
        return [
            one.model_copy(update={"channel": channel})
            for channel, verdict in zip(("print", "web"), verdicts, strict=True)
            for one in hand_over(("width", NAMES[0], verdict))
        ]

    before = audit(refused=False, delivery=rows("met", "missed"))
    after = audit(refused=False, delivery=rows("missed", "missed"))
    (line,) = said(before, after)
    assert "print" in line
    assert "was met and is now missed" in line
    assert said(before, before) == [NOTHING_CHANGED]


def test_the_rules_of_a_renamed_picture_are_the_same_and_those_of_an_added_one_no_change():
    before = record(
        planned("a.jpg", camera(), content=1), delivery=hand_over(("width", "a.jpg", "met"))
    )
    after = record(
        planned("b.jpg", camera(), content=1),
        planned("c.jpg", camera(), content=2),
        delivery=hand_over(("width", "b.jpg", "met"), ("width", "c.jpg", "missed")),
    )
    lines = said(before, after)
    assert "Renamed: a.jpg → b.jpg." in lines
    assert not any(line.startswith("Hand-over") for line in lines)


def test_another_kind_of_set():
    before, after = (
        audit(kind=KindRecord(kind=kind, is_given=True)) for kind in ("set", "portfolio")
    )
    assert said(before, after) == [
        "The pictures were compared as one set and are now compared as a portfolio."
    ]


def test_foreign_text_stays_on_its_line():
    nasty = "a\nb\x1b[31m.jpg"
    before = record(planned(nasty, camera(), shot="x\ny", content=1))
    after = record(planned(nasty, camera(75.0, verdict="missed"), shot="x\ny", content=1))
    for line in said(before, after):
        assert line.isprintable()
    for line in said(before, record(planned("c.jpg", camera(), content=2))):
        assert line.isprintable()


def test_what_follows_of_the_matching_stands_with_the_plan():
    before = record(planned("a.jpg", camera()), planned("b.jpg", camera(), shot="cake"))
    after = record(
        planned("a.jpg", camera(75.0, verdict="missed")),
        planned("b.jpg", camera(), shot="cake"),
        findings=[finding("fits_other_shot", "a.jpg", shot="tart", other_shots=["cake"])],
    )
    first, second = said(before, after)
    assert first.startswith("“tart”: camera angle is now planned")
    assert second.startswith("a.jpg, new: By its name it is “tart”")


def test_the_order_of_the_audits_is_known():
    later = audit().model_copy(update={"created": "2027-01-01T00:00:00+00:00"})
    assert not compare_audits(audit(), later).is_reversed
    assert compare_audits(later, audit()).is_reversed
    assert not compare_audits(audit(), audit().model_copy(update={"created": "?"})).is_reversed


def test_a_record_that_no_auditor_wrote_is_compared_as_far_as_it_goes():
    """Its values fit the models, and make no sense."""
    count = item("count", 3, 3, 0.0, None, "", "met", "three jars")
    odd = count.model_copy(update={"kind": ValueKind.WORDS, "planned": "left", "measured": None})
    (line,) = said(record(planned("a.jpg", count)), record(planned("a.jpg", odd)))
    assert "is now planned as left instead of 3" in line
    rules = [SetRuleRecord(rule="steam", asked="1", verdict="met", files=[])]
    assert said(audit(set_rules=[]), audit().model_copy(update={"set_rules": rules})) == [
        "A rule for the set is planned now. steam: 1: met."
    ]
