"""``--log``: what a run wrote to its log, and logs that cannot be written."""

import re

import pytest

from tests.conftest import draw_dish

PLAN = '[[shot]]\nname = "a dish"\nfiles = ["dish*"]\ntechnique = "no such"\n'


@pytest.fixture
def pictures(tmp_path):
    folder = tmp_path / "set"
    folder.mkdir()
    draw_dish().save(folder / "dish.jpg", quality=90)
    (folder / "words.jpg").write_text("dear client", encoding="utf-8")
    return folder


def log_of(run, tmp_path, *arguments):
    """The log of a run, and what the run answered."""
    done = run(*arguments, "--log", "run.log")
    return (tmp_path / "run.log").read_text(encoding="utf-8"), done


def test_a_log_has_what_was_done_and_what_failed_with_its_traceback(
    run_auditor, pictures, tmp_path
):
    log, done = log_of(run_auditor, tmp_path, "audit", pictures, "--fresh", "--jobs", 2)
    assert done.returncode == 0, done.stderr
    head = r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d{4} [A-Z]+ auditor[.\w]*: "
    said = re.findall(head + "(.*)$", log, re.MULTILINE)
    assert "dish.jpg: measured" in said
    assert any(line.startswith("words.jpg: refused, not_a_picture") for line in said)
    assert said[-2:] == ["reports/set: report written", "the shoot is not one to remember"]
    after = log[log.index("words.jpg: refused") :]
    assert after.splitlines()[1] == "Traceback (most recent call last):"
    assert "Traceback" not in done.stderr


def test_a_second_audit_is_appended(call_auditor, pictures, tmp_path):
    log_of(call_auditor, tmp_path, "audit", pictures)
    log, _ = log_of(call_auditor, tmp_path, "audit", pictures)
    assert log.count("report written") == 2
    assert "dish.jpg: remembered" in log.split("report written")[1]


def test_faults_of_a_plan_are_logged_too(call_auditor, pictures, tmp_path):
    (tmp_path / "plan.toml").write_text(PLAN, encoding="utf-8")
    log, done = log_of(call_auditor, tmp_path, "audit", pictures, "--plan", "plan.toml")
    assert done.returncode == 2
    assert " ERROR " in log
    assert "plan.toml:4: shot[1].technique" in log


def test_a_log_that_cannot_be_written_stops_the_audit_before_it_begins(
    call_auditor, pictures, tmp_path
):
    (tmp_path / "notes.txt").write_text("my notes\n", encoding="utf-8")
    for log in ("notes.txt/run.log", "set", "notes.txt", "set/dish.jpg"):
        before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
        done = call_auditor("audit", pictures, "--log", log)
        assert done.returncode == 2
        assert done.stderr.startswith(f"{log}: ")
        assert done.stderr.count("\n") == 1
        assert "--log" in done.stderr
        after = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
        assert after == before


def test_a_name_with_a_line_end_stays_on_its_line(call_auditor, pictures, tmp_path):
    (pictures / "two\nlines.jpg").write_text("no picture", encoding="utf-8")
    call_auditor("audit", pictures, "--log", tmp_path / "run.log")
    log = (tmp_path / "run.log").read_text(encoding="utf-8")
    assert "two\ufffdlines.jpg: refused" in log
