"""The file in which what was made of pictures is remembered."""

import logging
import os
import shutil
import sqlite3
import stat
import time
from contextlib import closing
from pathlib import Path

import pytest

from auditor.runs import store_file
from auditor.runs.store import FileRow, Kept, Store, default_location
from tests.systems import WINDOWS

ROW = FileRow("0" * 64, "[null, null, null]")


def store_at(path, version="1", **options):
    return Store(path, dict.fromkeys(Kept, version), version, **options)


def sql(path, *statements):
    with closing(sqlite3.connect(path)) as connection, connection:
        return [connection.execute(statement).fetchall() for statement in statements]


@pytest.fixture
def path(tmp_path):
    return tmp_path / "deep" / "store.sqlite"


@pytest.fixture
def full(path):
    """A store that holds one of each."""
    with store_at(path) as store:
        store.put(Kept.MEASURED, "a", b"first")
        store.put(Kept.PREVIEW, "a", b"picture")
        store.put_file("1:2:3", 3, ROW)
    return path


def test_what_was_put_is_found_by_the_next_run(full):
    with store_at(full) as store:
        assert store.get(Kept.MEASURED, "a") == b"first"
        assert store.get(Kept.PREVIEW, "a") == b"picture"
        assert store.get(Kept.TRIED, "a") is None
        assert store.file_row("1:2:3") == ROW
        assert store.file_row("1:2:4") is None
        assert (store.has_file_of_size(3), store.has_file_of_size(4)) == (True, False)
        store.put(Kept.MEASURED, "a", b"second")
        assert store.get(Kept.MEASURED, "a") == b"second"
        assert store.remarks == []


def test_each_kind_has_a_version_of_its_own(full):
    versions = {**dict.fromkeys(Kept, "1"), Kept.PREVIEW: "2"}
    with Store(full, versions, "2") as store:
        assert store.get(Kept.MEASURED, "a") == b"first"
        assert store.get(Kept.PREVIEW, "a") is None
        assert store.file_row("1:2:3") is None
        store.tidy()
    assert sql(full, "SELECT kind FROM kept", "SELECT * FROM file") == [[("measured",)], []]


def test_removed_versions_give_back_their_room(path):
    with store_at(path) as store:
        for number in range(50):
            store.put(Kept.MEASURED, str(number), b"x" * 10_000)
    before = path.stat().st_size
    with store_at(path, "2") as store:
        store.tidy()
    assert path.stat().st_size < before / 5


def test_above_its_size_what_is_longest_unused_is_removed(path, monkeypatch):
    for number in range(20):
        seconds = (20_000 + number) * 86_400.0
        monkeypatch.setattr(time, "time", lambda seconds=seconds: seconds)
        with store_at(path) as store:
            store.put(Kept.PREVIEW, str(number), b"x" * 50_000)
            assert number < 1 or store.get(Kept.PREVIEW, "0") is not None
            store.tidy()
    with store_at(path, most_bytes=500_000) as store:
        store.tidy()
        left = {n for n in range(20) if store.get(Kept.PREVIEW, str(n)) is not None}
    assert path.stat().st_size <= 500_000
    assert {0, 19} <= left
    assert not {1, 2, 3, 4} & left


def test_only_this_user_can_read_it(full):
    if os.name == "posix":
        assert stat.S_IMODE(full.stat().st_mode) == 0o600


def test_no_location_remembers_nothing():
    with store_at(None) as store:
        store.put(Kept.MEASURED, "a", b"text")
        assert store.get(Kept.MEASURED, "a") is None
        assert not store.is_open
        store.tidy()
        assert store.remarks == []


@pytest.mark.parametrize(
    "statement",
    [
        "CREATE TABLE measurement (picture TEXT, code_version TEXT, text TEXT)",
        "CREATE TABLE result (key TEXT PRIMARY KEY, text TEXT)",
    ],
)
def test_a_file_of_an_earlier_version_is_emptied_without_a_word(path, statement):
    path.parent.mkdir()
    sql(path, statement)
    with store_at(path) as store:
        store.put(Kept.MEASURED, "a", b"text")
        assert store.remarks == []
    assert sql(path, "SELECT name FROM kept") == [[("a",)]]
    assert sql(path, "SELECT name FROM sqlite_master WHERE name IN ('measurement', 'result')") == [
        []
    ]


def test_a_file_of_another_format_is_emptied(full, monkeypatch):
    monkeypatch.setattr(store_file, "FORMAT", store_file.FORMAT + 1)
    with store_at(full) as store:
        assert store.get(Kept.MEASURED, "a") is None
        store.put(Kept.MEASURED, "a", b"text")
        assert store.remarks == []
    assert sql(full, "PRAGMA user_version") == [[(store_file.FORMAT,)]]


def damage_head(path):
    path.write_bytes(b"this is not a database" * 100)


def damage_pages(path):
    data = bytearray(path.read_bytes())
    data[4096:] = b"\xa5" * (len(data) - 4096)
    path.write_bytes(data)


def become_of_another_program(path):
    path.unlink()
    sql(path, "CREATE TABLE notes (text TEXT)", "INSERT INTO notes VALUES ('of somebody')")


def become_marked_by_another_program(path):
    sql(path, "PRAGMA application_id = 1196444487")  # of a GeoPackage (OGC 12-128r19)


@pytest.mark.parametrize(
    "spoil",
    [damage_head, damage_pages, become_of_another_program, become_marked_by_another_program],
)
def test_a_file_that_cannot_be_used_is_set_aside_and_a_new_one_begun(full, spoil, caplog):
    spoil(full)
    before = full.read_bytes()
    with caplog.at_level(logging.WARNING), store_at(full) as store:
        assert store.get(Kept.MEASURED, "a") is None
        store.put(Kept.MEASURED, "a", b"text")
        assert store.get(Kept.MEASURED, "a") == b"text"
        (remark,) = store.remarks
    assert "a new one is begun" in remark
    assert "store.sqlite.set-aside" in remark
    assert remark in caplog.messages
    assert full.with_name("store.sqlite.set-aside").read_bytes() == before
    with store_at(full) as store:
        assert store.get(Kept.MEASURED, "a") == b"text"
        assert store.remarks == []


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE kept SET data = X'00112233'",
        "UPDATE kept SET data = 'text'",
        "UPDATE kept SET checksum = checksum + 1",
    ],
)
def test_a_changed_row_is_not_used_and_mentioned_once(full, statement):
    sql(full, statement)
    with store_at(full) as store:
        assert store.get(Kept.MEASURED, "a") is None
        assert store.get(Kept.PREVIEW, "a") is None
        assert len(store.remarks) == 1
        assert "made anew" in store.remarks[0]
        store.put(Kept.MEASURED, "a", b"text")
        assert store.get(Kept.MEASURED, "a") == b"text"


def test_a_file_that_another_program_holds_is_waited_for_once(full, monkeypatch):
    monkeypatch.setattr(store_file, "LOCK_WAIT_S", 0.2)
    with closing(sqlite3.connect(full, isolation_level=None)) as other:
        other.execute("PRAGMA journal_mode = DELETE")
        other.execute("BEGIN EXCLUSIVE")
        before = time.monotonic()
        with store_at(full) as store:
            for number in range(20):
                store.put(Kept.MEASURED, str(number), b"text")
                assert store.get(Kept.MEASURED, "a") is None
            (remark,) = store.remarks
        assert time.monotonic() - before < 2
    assert "another program holds it" in remark


def test_a_file_that_is_taken_in_the_middle_is_given_up_once(full, monkeypatch):
    monkeypatch.setattr(store_file, "LOCK_WAIT_S", 0.2)
    with store_at(full) as store, closing(sqlite3.connect(full, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        before = time.monotonic()
        for number in range(20):
            store.put(Kept.MEASURED, str(number), b"text")
        assert time.monotonic() - before < 2
        (remark,) = store.remarks
    assert "nothing more is remembered in this run" in remark


def test_two_runs_at_once_share_it(full):
    with store_at(full) as one, store_at(full) as two:
        for number in range(20):
            one.put(Kept.MEASURED, f"one {number}", b"1")
            two.put(Kept.MEASURED, f"two {number}", b"2")
        assert one.get(Kept.MEASURED, "two 19") == b"2"
        assert two.get(Kept.MEASURED, "one 19") == b"1"
        assert one.remarks == two.remarks == []


def test_a_place_that_cannot_be_made_does_no_harm(tmp_path):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    with store_at(tmp_path / "file" / "store.sqlite") as store:
        store.put(Kept.MEASURED, "a", b"text")
        assert store.get(Kept.MEASURED, "a") is None
        (remark,) = store.remarks
    assert "nothing is remembered in this run" in remark


@pytest.mark.skipif(WINDOWS, reason="there an open file cannot be removed")
@pytest.mark.parametrize("comes_another", [False, True])
def test_a_file_that_is_taken_away_is_mentioned(full, comes_another):
    with store_at(full) as store:
        shutil.rmtree(full.parent)
        if comes_another:
            store_at(full).__exit__(None, None, None)
        store.put(Kept.MEASURED, "b", b"text")
        store.tidy()
        (remark,) = store.remarks
        assert store.get(Kept.MEASURED, "b") is None
    assert remark.startswith(str(full))
    assert "not remembered" in remark
    with store_at(full) as store:
        assert store.get(Kept.MEASURED, "b") is None
        assert store.remarks == []


def test_a_full_disk_ends_remembering_and_nothing_else(full, monkeypatch):
    really = store_file.sqlite3.connect

    def with_no_room(*arguments, **options):
        connection = really(*arguments, **options)
        connection.execute("PRAGMA max_page_count = 1")
        return connection

    monkeypatch.setattr(store_file.sqlite3, "connect", with_no_room)
    with store_at(full) as store:
        store.put(Kept.PREVIEW, "b", b"x" * 100_000)
        (remark,) = store.remarks
        assert store.get(Kept.MEASURED, "a") is None
    assert "full" in remark
    monkeypatch.undo()
    with store_at(full) as store:
        assert store.get(Kept.MEASURED, "a") == b"first"


def test_it_lies_where_this_users_caches_lie(monkeypatch, tmp_path):
    # XDG Base Directory Specification 0.8: $XDG_CACHE_HOME, else ~/.cache.
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert default_location() == tmp_path / "auditor" / "measurements.sqlite"
    monkeypatch.delenv("XDG_CACHE_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert default_location() == Path(tmp_path) / ".cache" / "auditor" / "measurements.sqlite"
