"""Words for numbers of things, what is left out, rules for the set, what is on purpose."""

import pytest

from auditor.record.plan_records import AcceptedRecord, MatchRecord, SetRuleRecord, ZoneRecord
from auditor.vocabulary.how_many import how_many
from auditor.wording.headline import gravest_verdict, headline
from auditor.wording.marks import describe_marks
from auditor.wording.messages import with_messages
from auditor.wording.misses import miss_sentence
from auditor.wording.plan_items import difference, measured_cell, planned_cell, why_undecided
from auditor.wording.quantity_names import title
from auditor.wording.set_rules import rule_message, rule_title, rules_clause
from tests.records import audit, item, items, measured

LEFT = ZoneRecord(words="left", boxes=[(0.0, 0.0, 0.3, 1.0)])


def number(found, asked="3", verdict="missed", name="bowls", **changes):
    accepted = how_many(asked)
    made = item(
        *("count", accepted.nominal, float(found), accepted.beyond(found), None, "", verdict),
        element=name,
    )
    accepts = AcceptedRecord(words=accepted.words, spans=list(accepted.spans))
    return made.model_copy(update={"accepts": accepts, **changes})


def absence(at, verdict, name="fork", planned=None, **changes):
    made = item("without", planned, at, None, None, "", verdict, element=name)
    return made.model_copy(update=changes)


@pytest.mark.parametrize(
    ("made", "off", "sentence"),
    [
        (number(1), "2 too few", "Bowls: 1 found, 3 planned."),
        (number(5, "at most 4"), "1 too many", "Bowls: 5 found, at most 4 planned."),
        (
            number(0, "at least 2", zone=LEFT),
            "2 too few",
            "Bowls: 0 found (left), at least 2 planned.",
        ),
    ],
)
def test_a_missed_number(made, off, sentence):
    assert difference(made).off == off
    assert miss_sentence(made, measured()) == sentence


def test_a_number_in_the_table():
    made = number(3, "at least 2", "met", zone=LEFT)
    cells = planned_cell(made).text, measured_cell(made).text, difference(made).off
    assert cells == ("at least 2, left", "3", "")


@pytest.mark.parametrize(
    ("doubt", "words"),
    [
        ("touching", "Things that touch or overlap are found as one; the bowls may be"),
        ("others", "some of it may be something else than the bowls."),
        ("small", "Things as small as the bowls are not looked for one by one."),
    ],
)
def test_why_a_number_is_undecided(doubt, words):
    made = number(2, verdict="undecided", doubt=doubt)
    assert words in why_undecided(made, measured())


def test_a_name_with_its_number_has_no_article():
    made = number(2, verdict="undecided", name="three bowls", doubt="touching")
    assert "; three bowls may be there" in why_undecided(made, measured())


def test_what_is_left_out_in_the_table():
    assert title("without", "fork") == "Without fork"
    free = absence(None, "met")
    assert (planned_cell(free).text, measured_cell(free).text) == ("left out", "none found")
    there = absence([0.2, 0.3], "undecided", zone=LEFT)
    assert planned_cell(there).text == "left out, left"
    assert measured_cell(there).text == "upper left: 20% across, 30% down"
    at_point = absence(None, "undecided", planned=[0.2, 0.3])
    assert planned_cell(at_point).text == "left out, upper left: 20% across, 30% down"
    assert measured_cell(at_point).text == "–"


def test_what_should_have_been_left_out():
    made = absence([0.2, 0.3], "missed")
    assert miss_sentence(made, measured()) == (
        "What lies at upper left: 20% across, 30% down looks like the fork, which was to be left "
        "out."
    )


def test_a_screen_reader_hears_what_is_left_out():
    picture = audit().images[0]
    match = MatchRecord(bbox=(0.1, 0.2, 0.3, 0.4), element=0, seen_as="outline")
    there = absence([0.2, 0.3], "undecided", match=match)
    plan = picture.plan.model_copy(update={"items": [there]})
    said = describe_marks(picture.model_copy(update={"plan": plan}))
    assert "To be left out: fork. Perhaps fork: what lies at upper left" in said


def rule(name, asked, verdict, files=(), unknown=(), pairs=()):
    return SetRuleRecord(
        rule=name,
        asked=asked,
        verdict=verdict,
        files=list(files),
        open_files=list(unknown),
        pairs=list(pairs),
    )


@pytest.mark.parametrize(
    ("made", "heading", "sentence"),
    [
        (
            rule("overhead", "at least 2", "missed", ["a"]),
            "Overhead: at least 2",
            "1 picture overhead, at least 2 planned.",
        ),
        (
            rule("straight_on", "at most 1", "undecided", ["a"], ["b", "c"]),
            "Straight on: at most 1",
            (
                "1 picture seen straight on, at most 1 planned; of 2 pictures the measurements do "
                "not say."
            ),
        ),
        (
            rule("low", "2", "undecided", [], ["b", "c"]),
            "Low camera: 2",
            (
                "No picture that is surely seen from low down, 2 planned; of 2 pictures the "
                "measurements do not say."
            ),
        ),
        (rule("pictures", "3", "met", "abc"), "Pictures: 3", "3 pictures in the set, 3 planned."),
        (
            rule("hero", "1", "missed"),
            "Hero: 1",
            (
                "No picture with a large subject (the subject at least 1.5 times as large as in "
                "the median picture), 1 planned."
            ),
        ),
        (
            rule("neighbours", "different angles", "missed", "ab", pairs=[("a", "b")]),
            "Neighbours: different angles",
            "1 pair of neighbours is seen from one camera angle.",
        ),
        (
            rule("neighbours", "different angles", "met"),
            "Neighbours: different angles",
            "No two neighbours are seen from one camera angle.",
        ),
    ],
)
def test_what_is_said_of_a_rule(made, heading, sentence):
    assert (rule_title(made), rule_message(made)) == (heading, sentence)


def test_neighbours_of_which_too_little_is_known():
    made = rule("neighbours", "different angles", "undecided", (), ["a", "b"])
    assert rule_message(made).endswith("of 2 pictures the measurements do not say.")


def test_the_rules_in_the_headline():
    rules = [rule("hero", "1", "met"), rule("low", "1", "missed"), rule("high", "1", "missed")]
    assert rules_clause([]) == ""
    assert rules_clause(rules) == "of 3 rules for the set, 1 met and 2 missed"
    first, *_ = headline(audit(set_rules=rules))
    assert first.endswith("; of 3 rules for the set, 1 met and 2 missed.")


def on_purpose(made):
    return made.model_copy(update={"on_purpose": "the window needed it"})


def test_a_miss_on_purpose_is_repeated_with_its_reason():
    camera = next(one for one in items() if one.quantity == "camera_elevation")
    picture = audit().images[0]
    plan = picture.plan.model_copy(update={"items": [on_purpose(camera)]})
    made = with_messages(audit(images=[picture.model_copy(update={"plan": plan})], findings=[]))
    (said,) = made.images[0].plan.items
    assert said.message == (
        "The camera looks from lower than planned: three-quarter (46°); high (70°) was planned. "
        "On purpose: the window needed it."
    )


def test_misses_on_purpose_are_counted_apart():
    met, missed = (
        next(one for one in items() if one.verdict == verdict) for verdict in ("met", "missed")
    )
    meant = on_purpose(missed)
    assert gravest_verdict([met, met, missed]) == ("missed", "1 missed")
    assert gravest_verdict([met, met, meant]) == ("met", "2 met")
    assert gravest_verdict([met, met]) == ("met", "all met")
    assert gravest_verdict([meant]) == ("met", "1 on purpose")
    picture = audit().images[0]
    plan = picture.plan.model_copy(update={"items": [met, missed, meant, meant]})
    images = [picture.model_copy(update={"plan": plan})]
    first, *rest = headline(audit(images=images, findings=[]))
    assert "of 4 planned items, 1 met, 1 missed and 2 off on purpose" in first
    assert not [sentence for sentence in rest if "Missed most often" in sentence]


def test_a_picture_that_leaves_the_set_on_purpose_does_not_leave_it_in_the_headline():
    record = audit(refused=False)
    outlier = record.series.quantities[0].outliers[0].file
    warm = next(one for one in items() if one.quantity == "colour_temperature")
    plan = record.images[0].plan.model_copy(update={"items": [on_purpose(warm)]})
    images = [
        image.model_copy(update={"plan": plan}) if image.file == outlier else image
        for image in record.images
    ]
    assert "leaves the set" in " ".join(headline(record))
    assert "leaves the set" not in " ".join(headline(record.model_copy(update={"images": images})))
