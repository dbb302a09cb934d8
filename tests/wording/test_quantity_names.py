from auditor.record.base import ReasonRecord
from auditor.record.plan_records import VERDICTS, ZoneRecord
from auditor.wording.plan_items import difference, planned_cell, why_undecided
from auditor.wording.quantity_names import VERDICT_MEANINGS, in_sentence, title
from tests.records import item, measured


def test_a_supporting_element_goes_by_its_own_name():
    assert title("supporting", "honey jar") == "Honey jar"
    assert in_sentence("supporting", "honey jar") == "the honey jar"
    assert in_sentence("camera_elevation") == "camera angle"


def test_a_name_takes_an_article_where_it_can():
    assert in_sentence("supporting", "at the corner") == "“at the corner”"
    assert in_sentence("supporting", "a cup of tea") == "a cup of tea"


def test_every_verdict_has_a_meaning():
    assert tuple(VERDICT_MEANINGS) == VERDICTS


def test_an_undecided_item_says_why():
    reasons = {"subject": ReasonRecord(code="no_subject", message="Nothing stands out.")}
    size = item("subject_size", 0.2, None, None, 0.08, "fraction of frame", "undecided")
    without, known = measured(reasons=reasons), measured(reasons={})
    assert why_undecided(size, without) == "Nothing stands out."
    assert why_undecided(size, known) == "Nothing was found to measure it by."
    assert why_undecided(size.model_copy(update={"verdict": "missed"}), without) == ""


def test_patterned_ground_is_a_reason_to_be_undecided():
    space = measured().negative_space.model_copy(update={"fraction": 0.5, "plain_fraction": 0.2})
    picture = measured(negative_space=space)
    empty = item("negative_space", 0.3, 0.5, 0.2, 0.1, "fraction of frame", "undecided")
    assert why_undecided(empty, picture) == (
        "Patterned ground may count as empty or not: 20% without the patterned ground."
    )
    aside = space.model_copy(update={"plain_sides": ["top", "left"]})
    assert why_undecided(empty, measured(negative_space=aside)).endswith(
        "20% without the patterned ground, mostly at the top and on the left."
    )
    plain = space.model_copy(update={"plain_fraction": 0.45})
    assert "sure enough" in why_undecided(empty, measured(negative_space=plain))


def test_a_planned_element_on_the_subject_may_be_part_of_it():
    jar = item("supporting", [0.5, 0.5], None, None, 0.1, "", "undecided", "jar")
    assert why_undecided(jar, measured()) == "Nothing was found to measure it by."
    covered = jar.model_copy(update={"doubt": "covered"})
    assert why_undecided(covered, measured()).endswith("the jar may be part of it.")
    shape = jar.model_copy(update={"doubt": "shape"})
    assert "its shape and size do not show" in why_undecided(shape, measured())


def test_a_place_in_words_is_shown_by_its_words():
    jar = item("supporting", [0.5, 0.1], [0.4, 0.2], 0.0, 0.1, "fraction of diagonal", "met", "jar")
    jar = jar.model_copy(update={"zone": ZoneRecord(words="behind", boxes=[(0, 0, 1, 0.3)])})
    assert planned_cell(jar).text == "behind the subject"
    assert (difference(jar).off, difference(jar).allowed) == ("inside", "")
