"""A killed run leaves a whole report, old or new, once the next run has begun."""

import json
import os
import shutil
import sys
import time
from pathlib import Path

import pytest

from auditor.errors import UnusableArgumentError
from auditor.output import folder_lock
from auditor.output.folder_lock import LOCK_FILE, only_writer
from auditor.output.report_folder import TEXT_FILES, report_in_work, settle_report
from tests.conftest import ROOT, draw_dish, run_program
from tests.systems import WINDOWS

# In the order in which earlier versions changed them.
ORDER = ("pictures", "measurements.csv", "verdicts.csv", "index.html", "audit.json")

forks = pytest.mark.skipif(WINDOWS, reason="Windows cannot fork")


def record(word):
    return json.dumps({"schema_version": 1, "auditor_version": word})


def contents(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def lay_part(folder, name, word):
    folder.mkdir(exist_ok=True)
    if name == "pictures":
        (folder / name).mkdir(exist_ok=True)
        (folder / name / "0001-dish.jpg").write_text(word, encoding="utf-8")
    else:
        text = record(word) if name == "audit.json" else word
        (folder / name).write_text(text, encoding="utf-8")


def lay_whole(folder, word):
    for name in ORDER:
        lay_part(folder, name, word)
    return contents(folder)


@forks
def test_a_run_that_is_killed_anywhere_leaves_one_whole_report(tmp_path):
    done = run_program(ROOT, sys.executable, "-m", "tests.output.kill_reports", tmp_path)
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    assert set(found) == {"first", "full", "less", "more", "twice"}
    for name, one in found.items():
        assert one["kills"] > 30, name
        # Both ends are reached, and from the journal on it is the new one.
        assert one["states"][0] == "old", name
        assert one["states"][-1] == "new", name
        if name != "twice":
            assert one["states"] == sorted(one["states"], reverse=True), name


@pytest.mark.parametrize("first", [True, False], ids=["first report", "over an earlier one"])
@pytest.mark.parametrize("n_renames", range(2 * len(ORDER) + 1))
def test_a_change_that_an_earlier_version_began_is_finished(tmp_path, n_renames, first):
    work, kept = tmp_path / ".in-work-abcdefg1", tmp_path / ".replaced-abcdefg2"
    new = lay_whole(work, "new")
    if not first:
        lay_whole(tmp_path, "old")
    kept.mkdir()
    renames = [
        move
        for name in ORDER
        for move in ((tmp_path / name, kept / name), (work / name, tmp_path / name))
    ]
    for source, place in renames[:n_renames]:
        if source.exists():
            source.rename(place)
    settle_report(tmp_path)
    assert contents(tmp_path) == new
    assert {path.name for path in tmp_path.iterdir()} == set(ORDER)


def test_old_parts_whose_new_ones_are_lost_come_back(tmp_path):
    old = lay_whole(tmp_path, "old")
    kept = tmp_path / ".replaced-abcdefg2"
    kept.mkdir()
    for name in ORDER[:2]:
        (tmp_path / name).rename(kept / name)
    lay_part(tmp_path, "pictures", "new")
    settle_report(tmp_path)
    assert contents(tmp_path) == old
    assert {path.name for path in tmp_path.iterdir()} == set(ORDER)


def test_old_parts_are_left_alone_if_another_report_was_written_since(tmp_path):
    kept = tmp_path / ".replaced-abcdefg2"
    lay_part(kept, "pictures", "old")
    later = time.time() + 10
    lay_whole(tmp_path, "newest")
    os.utime(tmp_path / "audit.json", (later, later))
    before = contents(tmp_path)
    settle_report(tmp_path)
    assert contents(tmp_path) == before


@pytest.mark.parametrize(
    "theirs",
    [
        ".in-work-abcdefg1/holiday.jpg",
        ".in-work-abcdefg1/pictures/holiday.jpg",
        ".in-work-abcdefg1/replaced/holiday.jpg",
        ".in-work-abcdefg1/pictures/0001-dish.jpg/a.txt",
        ".in-work-of mine/index.html",
        ".in-work-abcdefg1",
        ".replaced-abcdefg1/holiday.jpg",
        "notes.txt",
    ],
)
def test_what_may_be_somebody_elses_is_left(tmp_path, theirs):
    lay_whole(tmp_path, "old")
    file = tmp_path / theirs
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text("theirs", encoding="utf-8")
    before = contents(tmp_path)
    settle_report(tmp_path)
    assert contents(tmp_path) == before


@pytest.mark.skipif(WINDOWS, reason="Windows lets only some users make links")
def test_a_link_with_the_name_of_work_is_not_followed(tmp_path):
    target, place = tmp_path / "target", tmp_path / "report"
    lay_whole(target, "theirs")
    place.mkdir()
    (place / ".in-work-abcdefg1").symlink_to(target, target_is_directory=True)
    settle_report(place)
    assert len(contents(target)) == len(ORDER)


@pytest.mark.parametrize("journal", ["", "[]", "{}", '{"swap": 2}', '{"swap": 1, "sizes": 3}'])
def test_a_journal_that_cannot_be_read_keeps_the_old_parts(tmp_path, journal):
    work = tmp_path / ".in-work-abcdefg1"
    lay_whole(work, "new")
    (work / "replaced").mkdir()
    (work / "replaced" / "index.html").write_text("old", encoding="utf-8")
    (work / "swap.json").write_text(journal, encoding="utf-8")
    before = contents(tmp_path)
    settle_report(tmp_path)
    assert contents(tmp_path) == before


def test_new_parts_that_were_cut_short_are_not_put_in_place(tmp_path):
    """As a power cut does on a disk that says too early that it has everything."""
    old = lay_whole(tmp_path, "old")
    work = tmp_path / ".in-work-abcdefg1"
    lay_whole(work, "new")
    sizes = {name: len("new") for name in ORDER}
    journal = {"swap": 1, "sizes": sizes, "had": list(ORDER), "gone": []}
    (work / "swap.json").write_text(json.dumps(journal), encoding="utf-8")
    (work / "replaced").mkdir()
    (tmp_path / "audit.json").rename(work / "replaced" / "audit.json")
    (work / "index.html").write_bytes(b"")
    settle_report(tmp_path)
    assert contents(tmp_path) == old
    assert {path.name for path in tmp_path.iterdir()} == set(ORDER)


def write_report(place, word):
    with report_in_work(place) as report:
        (report.pictures / "0001-dish.jpg").write_text(word, encoding="utf-8")
        report.publish(dict.fromkeys(TEXT_FILES, word) | {"audit.json": record(word)})


def test_a_second_run_waits_and_is_then_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(folder_lock, "LOCK_WAIT_S", 0.2)
    with report_in_work(tmp_path) as report:
        begun = time.monotonic()
        with pytest.raises(UnusableArgumentError, match=r"another run of auditor.*--out"):
            write_report(tmp_path, "second")
        with pytest.raises(UnusableArgumentError, match="another run of auditor"):
            settle_report(tmp_path)
        assert time.monotonic() - begun >= 0.4
        (report.pictures / "0001-dish.jpg").write_text("first", encoding="utf-8")
        report.publish(dict.fromkeys(TEXT_FILES, "first") | {"audit.json": record("first")})
    assert (tmp_path / "index.html").read_text(encoding="utf-8") == "first"
    write_report(tmp_path, "third")
    assert {path.name for path in tmp_path.iterdir()} == set(ORDER)


def test_the_lock_of_a_process_that_is_gone_is_not_in_the_way(tmp_path, monkeypatch):
    monkeypatch.setattr(folder_lock, "LOCK_WAIT_S", 0.0)
    (tmp_path / LOCK_FILE).touch()
    write_report(tmp_path, "new")
    assert {path.name for path in tmp_path.iterdir()} == set(ORDER)


def test_without_locks_only_what_is_old_is_removed(tmp_path, monkeypatch):
    monkeypatch.setattr(folder_lock, "_try_lock", lambda _: None)
    work = tmp_path / ".in-work-abcdefg1"
    (work / "pictures").mkdir(parents=True)
    write_report(tmp_path, "new")
    assert work.is_dir()
    two_days_ago = time.time() - 2 * 24 * 3600
    for folder in (work / "pictures", work):
        os.utime(folder, (two_days_ago, two_days_ago))
    write_report(tmp_path, "newer")
    assert {path.name for path in tmp_path.iterdir()} == set(ORDER)


def test_a_lock_that_was_removed_meanwhile_is_taken_anew(tmp_path, monkeypatch):
    opened, n_tries = os.open, 0

    def removed_after_opening(path, *rest):
        nonlocal n_tries
        descriptor = opened(path, *rest)
        n_tries += 1
        if n_tries == 1:
            Path(path).unlink()
        return descriptor

    monkeypatch.setattr(os, "open", removed_after_opening)
    with only_writer(tmp_path, "report") as is_alone:
        assert is_alone
        assert n_tries == 2
        assert (tmp_path / LOCK_FILE).exists()
    assert list(tmp_path.iterdir()) == []


def cut_in_half(report):
    """What a run leaves that is killed when all old parts are out and no new one is in."""
    work = report / ".in-work-abcdefg1"
    shutil.copytree(report, work)
    (work / "replaced").mkdir()
    parts = [*ORDER, "proofs"]
    for name in parts:
        (report / name).rename(work / "replaced" / name)
    journal = {"swap": 1, "sizes": dict.fromkeys(parts, 1), "had": parts, "gone": []}
    (work / "swap.json").write_text(json.dumps(journal), encoding="utf-8")


@pytest.mark.parametrize("command", ["audit", "report"])
def test_the_commands_begin_with_putting_in_order_what_was_left(call_auditor, tmp_path, command):
    """Also where the report lies among the pictures, and its proofs could be taken for some."""
    dishes = tmp_path / "set"
    dishes.mkdir()
    draw_dish().save(dishes / "dish.jpg", quality=90)
    (tmp_path / "plan.toml").write_text(
        '[[shot]]\nname = "a dish"\nfiles = ["dish*"]\naspect_ratio = "1:1"\n', encoding="utf-8"
    )
    audit = ("audit", dishes, "--plan", "plan.toml", "--proofs", "--out", dishes / "report")
    environment = {"SOURCE_DATE_EPOCH": "1764547200"}
    assert call_auditor(*audit, **environment).returncode == 0
    report = dishes / "report"
    before = contents(report)
    assert "proofs/0001-dish.jpg" in before
    cut_in_half(report)
    done = call_auditor(*(audit if command == "audit" else ("report", report)), **environment)
    assert done.returncode == 0, done.stderr
    assert contents(report) == before


@pytest.mark.parametrize(
    "command",
    [
        ("audit", "set", "--out", "place"),
        ("report", "place"),
        ("plan", "sheet", "plan.toml", "--out", "place"),
    ],
)
def test_a_command_does_not_write_where_another_run_does(
    call_auditor, tmp_path, monkeypatch, command
):
    monkeypatch.setattr(folder_lock, "LOCK_WAIT_S", 0.1)
    (tmp_path / "set").mkdir()
    draw_dish().save(tmp_path / "set" / "dish.jpg", quality=90)
    (tmp_path / "plan.toml").write_text('[[shot]]\nname = "a dish"\n', encoding="utf-8")
    (tmp_path / "place").mkdir()
    with only_writer(tmp_path / "place", "report"):
        done = call_auditor(*command)
    assert done.returncode == 2
    assert done.stderr.startswith("place: another run of auditor is writing its ")
    assert list((tmp_path / "place").iterdir()) == []
