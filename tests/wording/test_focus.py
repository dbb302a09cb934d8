from typing import get_args

import pytest

from auditor.measurements.focus.causes import Cause
from auditor.record.picture_record import (
    FocusRecord,
)
from auditor.wording.focus import REMEDIES, SEEN, focus_sentence
from auditor.wording.measured_rows import measured_rows
from tests.records import measured

SHARP = FocusRecord(
    subject_sharpness=0.7, sharpest_at=(0.3, 0.5), subject_in_focus=True, confidence=0.9
)


def focus(**changes):
    return SHARP.model_copy(update=changes)


def test_every_cause_that_is_measured_has_its_sentence():
    assert tuple(SEEN) == get_args(Cause)


@pytest.mark.parametrize("cause", get_args(Cause))
def test_every_cause_can_be_recorded_and_is_said(cause):
    record = FocusRecord.model_validate({**SHARP.model_dump(), "cause": cause})
    assert focus_sentence(record).startswith(SEEN[cause])
    assert focus_sentence(record).endswith(REMEDIES.get(cause, SEEN[cause]))


@pytest.mark.parametrize("cause", ["missed focus", "motion blur", "soft all over"])
def test_a_fault_says_what_to_do(cause):
    assert "shoot again" in focus_sentence(focus(cause=cause))


def test_an_open_cause_says_what_is_known():
    assert focus_sentence(focus()) == "The subject is about as sharp as anything else in the frame."
    assert "cause is not clear" in focus_sentence(focus(subject_in_focus=False))
    assert focus_sentence(focus(subject_in_focus=None)) == ""


def test_the_page_shows_the_sentence_with_the_confidence_of_the_cause():
    picture = measured(focus=focus(cause="missed focus", cause_confidence=0.75))
    row = next(row for row in measured_rows(picture) if row.title == "Focus")
    assert row.value.text.startswith(SEEN["missed focus"])
    assert row.certainty == "75% probable"


def test_without_a_cause_the_page_shows_the_confidence_of_the_verdict():
    row = next(row for row in measured_rows(measured(focus=focus())) if row.title == "Focus")
    assert row.certainty == "90% probable"
