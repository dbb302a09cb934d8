"""What to do about each rule of a hand-over."""

import pytest

from auditor.delivery.models import RULE_NAMES
from auditor.findings.codes import FindingCode
from auditor.record.finding_record import FindingRecord
from auditor.wording import hand_over_to_do as wording
from auditor.wording.hand_over_to_do import hand_over_to_do


def broken(rule, expected="as asked", files=("a.jpg",)):
    return FindingRecord(
        code=FindingCode.DELIVERY, rank=1, files=list(files), rule=rule, expected=expected
    )


@pytest.mark.parametrize("rule", RULE_NAMES)
def test_there_is_something_to_do_about_every_rule(rule):
    assert hand_over_to_do(broken(rule)).endswith(".")


def test_every_rule_named_here_exists():
    named = {*wording.IN_METADATA, *wording.RENAMED, *wording.DEVELOPED, *wording.OTHERS}
    assert named <= set(RULE_NAMES)


def test_what_must_not_be_there_is_removed_and_what_must_is_written():
    assert hand_over_to_do(broken("caption", "none")) == "Remove the caption from the file."
    several = broken("caption", "there", ("a.jpg", "b.jpg"))
    assert hand_over_to_do(several) == "Write the caption into the metadata of the files."


def test_a_channel_without_pictures_needs_some():
    assert hand_over_to_do(broken("files")) == "Add the missing pictures."
    assert hand_over_to_do(broken("portrait")) == "Add pictures or leave some out."
