"""The command that writes into a plan which pictures belong to which shot."""

from __future__ import annotations

import os
import re

import pytest

from auditor.errors import UnusableArgumentError
from auditor.plan.reading import read_plan
from auditor.plan_match.match_plan import MatchRequest, match_plan
from tests.conftest import ROOT, draw_dish, run_process

DEMO = ROOT / "fixtures" / "teahouse"
PLACES = {"upper left": (0.28, 0.28), "lower right": (0.72, 0.74)}
PLAN = """\
title = "Two dishes"   # drawn

[[shot]]
name = "lower right"
subject = { at = "lower right" }   # of the frame

[[shot]]
name = "upper left"
subject = { at = "upper left" }

[[shot]]
name = "named"
files = ["other*"]
"""


@pytest.fixture
def drawn(tmp_path):
    """A folder of two dishes and a picture that cannot be read, and a plan without names."""
    folder = tmp_path / "finals"
    folder.mkdir()
    for number, place in enumerate(PLACES.values()):
        draw_dish(place, seed=number).save(folder / f"IMG_{number}.jpg")
    (folder / "broken.jpg").write_bytes(b"no picture")
    plan = tmp_path / "plan.toml"
    plan.write_text(PLAN, encoding="utf-8")
    return folder, plan


def test_pictures_are_written_into_their_shots_and_the_rest_stays(drawn, call_auditor):
    folder, plan = drawn
    done = call_auditor("plan", "match", folder, plan)
    assert done.returncode == 0, done.stderr
    assert done.stdout == f"{plan}\n"
    after = plan.read_text(encoding="utf-8")
    # What stands there now beside remarks is the old text and a line for each shot.
    added = [line for line in after.splitlines() if line not in PLAN.splitlines()]
    assert [line for line in added if not line.startswith("#")] == [
        'files = ["IMG_1.jpg"]',
        'files = ["IMG_0.jpg"]',
    ]
    assert [line for line in after.splitlines() if line not in added] == PLAN.splitlines()
    assert {shot.name: shot.files for shot in read_plan(plan).shots} == {
        "lower right": ("IMG_1.jpg",),
        "upper left": ("IMG_0.jpg",),
        "named": ("other*",),
    }
    assert re.search(r"- lower right: IMG_1.jpg \(.*% sure", done.stderr)
    assert "broken.jpg: could not be measured." in done.stderr
    assert "- named: no picture found." in done.stderr
    assert "pictures were written into 2 shots" in done.stderr


def test_a_second_time_there_is_nothing_to_write(drawn, call_auditor):
    folder, plan = drawn
    call_auditor("plan", "match", folder, plan)
    once = plan.read_bytes()
    done = call_auditor("plan", "match", folder, plan)
    assert (done.returncode, done.stdout, plan.read_bytes()) == (0, "", once)
    assert "nothing was written" in done.stderr


def test_a_plan_that_cannot_be_added_to_is_refused_before_anything_is_measured(drawn, call_auditor):
    folder, plan = drawn
    plan.write_text('shot = [ { name = "tea" } ]\n', encoding="utf-8")
    done = call_auditor("plan", "match", folder, plan)
    assert done.returncode == 2
    assert "[[shot]]" in done.stderr
    assert "Measured" not in done.stderr


def test_a_write_protected_plan_is_refused(drawn, monkeypatch):
    folder, plan = drawn
    # A test may run as a user who may write everything.
    monkeypatch.setattr(os, "access", lambda *_: False)
    request = MatchRequest(folder, plan, 1, None)
    with pytest.raises(UnusableArgumentError, match="write-protected"):
        match_plan(request, lambda *_: None)
    assert plan.read_text(encoding="utf-8") == PLAN


def test_names_that_differ_only_in_case_leave_the_plan_as_it_was(drawn, call_auditor):
    folder, plan = drawn
    (folder / "IMG_1.jpg").rename(folder / "img_0.JPG")
    done = call_auditor("plan", "match", folder, plan)
    assert done.returncode == 2
    assert "upper and lower case" in done.stderr
    assert plan.read_text(encoding="utf-8") == PLAN
    assert [path.name for path in plan.parent.iterdir() if path.name.startswith(".")] == []


@pytest.mark.parametrize("what", ["folder", "plan"])
def test_what_is_not_there_is_said(drawn, call_auditor, what):
    folder, plan = drawn
    given = (folder / "x", plan) if what == "folder" else (folder, plan.with_name("x.toml"))
    done = call_auditor("plan", "match", *given)
    assert done.returncode == 2
    assert "there is no such" in done.stderr


def test_the_demo_without_names_is_matched_right(demo, tmp_path):
    text = (DEMO / "plan.toml").read_text(encoding="utf-8")
    plan = tmp_path / "plan.toml"
    plan.write_text(re.sub(r"^files = .*\n", "", text, flags=re.MULTILINE), encoding="utf-8")
    cache = str(demo.parent / "cache")  # with the demo's measurements
    done = run_process(tmp_path, "plan", "match", DEMO, plan, XDG_CACHE_HOME=cache)
    assert done.returncode == 0, done.stderr
    by_hand = {shot.name: shot.files for shot in read_plan(DEMO / "plan.toml").shots}
    for shot in read_plan(plan).shots:
        pictures = sorted(path.name for path in DEMO.glob(by_hand[shot.name][0] + ".jpg"))
        assert list(shot.files) == pictures, shot.name
