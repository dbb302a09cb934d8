"""A report takes the place of an earlier report only, and whole or not at all."""

import json
from pathlib import Path

import pytest

from auditor.errors import UnusableArgumentError
from auditor.output.previews import is_preview_name, preview_name
from auditor.output.report_folder import (
    PARTS,
    TEXT_FILES,
    refuse_files_of_others,
    report_in_work,
)

OURS = json.dumps({"schema_version": 1, "auditor_version": "0.1"})
N_RENAMES = 2 * len(PARTS)  # each old part away, each new one in


def lay(folder, word, record=OURS):
    (folder / "pictures").mkdir(parents=True, exist_ok=True)
    for name in ("0001-dish.jpg", "0001-dish-small.jpg"):
        (folder / "pictures" / name).write_text(word, encoding="utf-8")
    (folder / "index.html").write_text(word, encoding="utf-8")
    (folder / "measurements.csv").write_text(word, encoding="utf-8")
    (folder / "verdicts.csv").write_text(word, encoding="utf-8")
    (folder / "audit.json").write_text(record, encoding="utf-8")


def contents(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def write_report(place, before_moving=lambda: None):
    with report_in_work(place) as report:
        lay(report.work, "new")
        before_moving()
        report.put_in_place()


def publish_late(place, late):
    with report_in_work(place) as report:
        late.write_text("theirs", encoding="utf-8")
        report.publish(dict.fromkeys(TEXT_FILES, "new"))


def stop_renames(monkeypatch, error, *, first, last):
    """Let the renames `first` to `last`, counted from 1, fail."""
    rename, n_calls = Path.rename, 0

    def failing(path, target):
        nonlocal n_calls
        n_calls += 1
        if first <= n_calls <= last:
            raise error
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", failing)


@pytest.mark.parametrize(
    "names", [["index.html"], ["audit.json"], ["measurements.csv"], ["verdicts.csv"]]
)
def test_a_file_of_others_is_refused_by_name(tmp_path, names):
    for name in names:
        (tmp_path / name).write_text("{}", encoding="utf-8")
    with pytest.raises(UnusableArgumentError, match=rf"{names[0]}.*--out"):
        refuse_files_of_others(tmp_path)
    with pytest.raises(UnusableArgumentError), report_in_work(tmp_path):
        pass
    assert [path.name for path in tmp_path.iterdir()] == names


@pytest.mark.parametrize("record", ["", "[]", "no JSON", '{"schema_version": 1}', "[" * 10**5])
def test_a_record_that_is_not_ours_protects_everything(tmp_path, record):
    lay(tmp_path, "theirs", record)
    with pytest.raises(UnusableArgumentError, match=r"pictures, measurements\.csv"):
        refuse_files_of_others(tmp_path)


@pytest.mark.parametrize("name", ["steak.jpg", "0001-Steak.jpg", "0001-steak.tif", "sub/a.txt"])
def test_a_file_among_earlier_previews_is_refused_by_name(tmp_path, name):
    lay(tmp_path, "ours")
    path = tmp_path / "pictures" / name
    path.parent.mkdir(exist_ok=True)
    path.write_text("theirs", encoding="utf-8")
    with pytest.raises(UnusableArgumentError, match=f"pictures/{name.partition('/')[0]}"):
        refuse_files_of_others(tmp_path)


def test_an_earlier_report_and_what_lies_beside_it_are_no_hindrance(tmp_path):
    refuse_files_of_others(tmp_path / "not there yet")
    refuse_files_of_others(tmp_path)
    lay(tmp_path, "ours")
    (tmp_path / "pictures" / ".DS_Store").write_bytes(b"x")
    (tmp_path / "note.txt").write_text("mine", encoding="utf-8")
    refuse_files_of_others(tmp_path)


def test_every_preview_is_known_by_its_name():
    for number, file in ((1, "a/B c.JPG"), (12345, "\u00e9t\u00e9.png"), (7, "\u83dc.tif")):
        name = preview_name(number, file)
        assert is_preview_name(name)
        assert is_preview_name(name.replace(".jpg", "-small.jpg"))
    for name in ("IMG_0001.jpg", "0001.jpg", "0001-dish.jpg.part", "0001-dish.jpg\n"):
        assert not is_preview_name(name)


def test_a_file_that_came_while_measuring_is_kept(tmp_path):
    lay(tmp_path, "old")
    late = tmp_path / "pictures" / "late.jpg"
    with pytest.raises(UnusableArgumentError, match="late"):
        publish_late(tmp_path, late)
    assert late.read_text(encoding="utf-8") == "theirs"


def test_the_new_report_takes_the_place_of_the_old(tmp_path):
    lay(tmp_path, "old")
    write_report(tmp_path)
    found = contents(tmp_path)
    assert found.pop("audit.json") == OURS.encode()
    assert set(found.values()) == {b"new"}
    assert {path.name for path in tmp_path.iterdir()} == set(PARTS)


@pytest.mark.parametrize("error", [OSError(5, "Input/output error"), KeyboardInterrupt()])
@pytest.mark.parametrize("nth", range(1, N_RENAMES + 1))
def test_a_change_that_stops_anywhere_is_undone(tmp_path, monkeypatch, nth, error):
    lay(tmp_path, "old")
    before = contents(tmp_path)
    with pytest.raises(type(error)):
        write_report(tmp_path, lambda: stop_renames(monkeypatch, error, first=nth, last=nth))
    assert contents(tmp_path) == before
    assert {path.name for path in tmp_path.iterdir()} == set(PARTS)


@pytest.mark.parametrize("nth", range(1, len(PARTS) + 1))
def test_a_first_report_that_stops_leaves_nothing(tmp_path, monkeypatch, nth):
    place = tmp_path / "reports" / "set"
    error = OSError(5, "Input/output error")
    with pytest.raises(OSError, match="Input/output"):
        write_report(place, lambda: stop_renames(monkeypatch, error, first=nth, last=nth))
    assert list(tmp_path.iterdir()) == []


def test_what_cannot_be_put_back_is_kept_and_told_and_the_next_report_is_written(
    tmp_path, monkeypatch
):
    lay(tmp_path, "old")
    before = contents(tmp_path)
    error = OSError(5, "Input/output error")
    with monkeypatch.context() as patch:
        with pytest.raises(UnusableArgumentError, match="kept in") as told:
            write_report(tmp_path, lambda: stop_renames(patch, error, first=4, last=10**6))
        (kept,) = tmp_path.glob(".in-work-*/replaced")
        assert str(kept) in str(told.value)
        last = ("audit.json", "index.html", "verdicts.csv")
        assert contents(kept) == {name: before[name] for name in last}
        for name in ("measurements.csv", "pictures/0001-dish.jpg"):
            assert (tmp_path / name).read_bytes() == before[name]
    write_report(tmp_path)
    assert {path.name for path in tmp_path.iterdir()} == set(PARTS)


SUMMARY = "summary.html"
WITH_SUMMARY = json.dumps({"schema_version": 2, "auditor_version": "0.1", "forms": ["summary"]})


def write_with(place, *optional, before_moving=lambda: None):
    with report_in_work(place, optional) as report:
        record = WITH_SUMMARY if optional else OURS
        texts = dict.fromkeys((*TEXT_FILES, *optional), "new") | {"audit.json": record}
        for name in ("0001-dish.jpg", "0001-dish-small.jpg"):
            (report.pictures / name).write_text("new", encoding="utf-8")
        before_moving()
        report.publish(texts)


def test_an_earlier_summary_is_replaced_and_removed_when_not_asked_for(tmp_path):
    write_with(tmp_path)
    assert not (tmp_path / SUMMARY).exists()
    for _ in range(2):
        write_with(tmp_path, SUMMARY)
        assert (tmp_path / SUMMARY).read_text(encoding="utf-8") == "new"
    write_with(tmp_path)
    assert {path.name for path in tmp_path.iterdir()} == set(PARTS)


def test_a_summary_of_others_is_kept(tmp_path):
    write_with(tmp_path)
    (tmp_path / SUMMARY).write_text("theirs", encoding="utf-8")
    write_with(tmp_path)
    with pytest.raises(UnusableArgumentError, match=SUMMARY):
        write_with(tmp_path, SUMMARY)
    assert (tmp_path / SUMMARY).read_text(encoding="utf-8") == "theirs"


def test_a_summary_of_others_without_any_report_is_kept(tmp_path):
    (tmp_path / SUMMARY).write_text("theirs", encoding="utf-8")
    with pytest.raises(UnusableArgumentError, match=SUMMARY):
        write_with(tmp_path, SUMMARY)
    write_with(tmp_path)
    assert (tmp_path / SUMMARY).read_text(encoding="utf-8") == "theirs"


@pytest.mark.parametrize("wanted", [(), (SUMMARY,)], ids=["without", "with"])
@pytest.mark.parametrize("nth", range(1, N_RENAMES + 2))
def test_a_change_with_a_summary_that_stops_anywhere_is_undone(tmp_path, monkeypatch, nth, wanted):
    write_with(tmp_path, SUMMARY)
    (tmp_path / SUMMARY).write_text("old", encoding="utf-8")
    before = contents(tmp_path)
    error = OSError(28, "No space left on device")
    with pytest.raises(UnusableArgumentError, match="No space left"):
        write_with(
            tmp_path,
            *wanted,
            before_moving=lambda: stop_renames(monkeypatch, error, first=nth, last=nth),
        )
    assert contents(tmp_path) == before
