"""A whole audit with a plan that is broken, and broken on purpose."""

import json

import pytest

from tests.conftest import draw_dish

# The dish of the pictures stands in the middle; the frame is upright.
BROKEN = """
[[shot]]
name = "a dish"
files = ["dish*"]
subject = { at = [0.1, 0.1] }
aspect_ratio = "3:2"
"""
MEANT = BROKEN + 'on_purpose = "as the client asked"\n'

pytestmark = pytest.mark.usefixtures("measuring_here")


@pytest.fixture
def dishes(tmp_path):
    folder = tmp_path / "set"
    folder.mkdir()
    for number in (1, 2):
        draw_dish(seed=number).save(folder / f"dish {number}.jpg")
    return folder


def audited(call_auditor, tmp_path, folder, plan):
    (tmp_path / "plan.toml").write_text(plan, encoding="utf-8")
    done = call_auditor("audit", folder, "--plan", "plan.toml", "--strict", "--out", "out")
    record = json.loads((tmp_path / "out" / "audit.json").read_text(encoding="utf-8"))
    return done.returncode, record


def test_what_is_off_on_purpose_does_not_break_the_set(call_auditor, tmp_path, dishes):
    status, record = audited(call_auditor, tmp_path, dishes, BROKEN)
    assert status == 1
    missed = [finding for finding in record["findings"] if finding["code"] == "missed"]
    assert {finding["quantity"] for finding in missed} == {"subject", "aspect_ratio"}
    status, record = audited(call_auditor, tmp_path, dishes, MEANT)
    assert status == 0
    assert not [finding for finding in record["findings"] if finding["code"] == "missed"]
    items = record["images"][0]["plan"]["items"]
    assert {item["verdict"] for item in items} == {"missed"}
    assert {item["on_purpose"] for item in items} == {"as the client asked"}
    assert not [one for one in record["images"][0]["advice"] if one["kind"] == "crop"]


@pytest.mark.parametrize(("rule", "status"), [("landscape = 1", 1), ("portrait = 2", 0)])
def test_a_rule_for_the_set_is_part_of_strict(call_auditor, tmp_path, dishes, rule, status):
    code, record = audited(call_auditor, tmp_path, dishes, f"{MEANT}[set]\n{rule}\n")
    assert code == status
    assert [one["verdict"] for one in record["set_rules"]] == ["missed" if status else "met"]
    broken = [finding["rule"] for finding in record["findings"] if finding["code"] == "set_rule"]
    assert broken == (["landscape"] if status else [])
    if status:
        assert "No picture in landscape format, 1 planned." in (
            tmp_path / "out" / "index.html"
        ).read_text(encoding="utf-8")
