from auditor.record.base import ReasonRecord
from auditor.record.plan_records import VERDICTS
from auditor.wording.plan_items import why_undecided
from auditor.wording.positions import direction_words
from auditor.wording.quantity_names import VERDICT_MEANINGS, in_sentence, title
from tests.records import item


def test_a_direction_leaves_out_what_one_does_not_see():
    assert direction_words(10, 1) == "right of"
    assert direction_words(-1, -10) == "above"
    assert direction_words(-10, 8) == "below and left of"


def test_a_supporting_element_goes_by_its_own_name():
    assert title("supporting", "honey jar") == "Honey jar"
    assert in_sentence("supporting", "honey jar") == "the honey jar"
    assert in_sentence("camera_elevation") == "camera angle"


def test_every_verdict_has_a_meaning():
    assert tuple(VERDICT_MEANINGS) == VERDICTS


def test_an_undecided_item_says_why():
    reasons = {"subject": ReasonRecord(code="no_subject", message="Nothing stands out.")}
    size = item("subject_size", 0.2, None, None, 0.08, "fraction of frame", "undecided")
    assert why_undecided(size, reasons) == "Nothing stands out."
    assert why_undecided(size, {}) == "Nothing was found to measure it by."
    assert why_undecided(size.model_copy(update={"verdict": "missed"}), reasons) == ""
