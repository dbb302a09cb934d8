"""Which measurements are remembered, and when they are measured again."""

import hashlib
import json
import os
import sqlite3
import time
import zlib
from contextlib import closing
from dataclasses import replace

import pytest

from auditor.runs import measured_file
from tests.conftest import draw_dish
from tests.conftest import measured as measured_pictures
from tests.runs.finders import LeftHalfFinder

# What is remembered does not depend on the process that measures.
pytestmark = pytest.mark.usefixtures("measuring_here")

PLANTED = "planted by the test"


@pytest.fixture
def folder(tmp_path):
    folder = tmp_path / "set"
    folder.mkdir()
    draw_dish().save(folder / "dish.jpg", quality=90)
    return folder


@pytest.fixture
def store(tmp_path):
    return tmp_path / "store.sqlite"


def measured(folder, store, *, file="dish.jpg", **options):
    (outcome,) = measured_pictures(folder, [file], store=store, **options)
    return outcome.picture


def rows_of(store):
    with closing(sqlite3.connect(store)) as connection:
        return connection.execute("SELECT kind, name, data FROM kept").fetchall()


def change_rows(store, change):
    """Change the measurements that are remembered, as somebody would who knows the checksum."""
    with closing(sqlite3.connect(store)) as connection, connection:
        found = connection.execute("SELECT name, data FROM kept WHERE kind = 'measured'").fetchall()
        for name, data in found:
            changed = change(data)
            connection.execute(
                "UPDATE kept SET data = ?, checksum = ? WHERE kind = 'measured' AND name = ?",
                (changed, zlib.crc32(changed), name),
            )


def plant(store):
    """Change what is remembered, so that it can be recognised."""
    change_rows(store, lambda data: json.dumps({**json.loads(data), "creator": PLANTED}).encode())


def test_what_is_remembered_is_used(folder, store):
    first = measured(folder, store)
    assert first.creator is None
    assert measured(folder, store) == first
    plant(store)
    assert measured(folder, store).creator == PLANTED


def test_fresh_measures_again_and_replaces_what_is_remembered(folder, store):
    measured(folder, store)
    plant(store)
    assert measured(folder, store, fresh=True).creator is None
    assert measured(folder, store).creator is None


def test_fresh_as_a_command_replaces_what_is_remembered(call_auditor, folder, tmp_path):
    cache = {"XDG_CACHE_HOME": str(tmp_path / "cache")}

    def audited_creator(*options):
        done = call_auditor("audit", folder, "--out", "report", *options, **cache)
        assert done.returncode == 0, done.stderr
        record = json.loads((tmp_path / "report" / "audit.json").read_text(encoding="utf-8"))
        return record["images"][0]["creator"]

    assert audited_creator() is None
    plant(tmp_path / "cache" / "auditor" / "measurements.sqlite")
    assert audited_creator() == PLANTED
    assert audited_creator("--fresh") is None
    assert audited_creator() is None


def test_with_a_finder_of_the_callers_own_nothing_is_remembered(folder, store):
    own = measured(folder, store, finder=LeftHalfFinder())
    assert not store.exists()
    usual = measured(folder, store)
    assert usual.subject != own.subject
    before = rows_of(store)
    assert measured(folder, store, finder=LeftHalfFinder()) == own
    assert measured(folder, store, finder=LeftHalfFinder(), fresh=True) == own
    assert rows_of(store) == before


def test_what_cannot_be_read_is_measured_again(folder, store):
    first = measured(folder, store)
    change_rows(store, lambda _: b"{}")
    assert measured(folder, store) == first
    assert rows_of(store)[0][2] != b"{}"


def test_an_audit_removes_what_other_versions_have_remembered(folder, store):
    measured(folder, store)
    with closing(sqlite3.connect(store)) as connection, connection:
        connection.execute(
            "INSERT INTO kept VALUES ('measured', 'a', 'another version', X'00', 0, 0)"
        )
    measured(folder, store)
    ((kind, name, _),) = rows_of(store)
    assert (kind, name != "a") == ("measured", True)


@pytest.fixture
def settled(folder):
    """The folder, with a picture that was written long ago."""
    long_ago = time.time() - 3600
    os.utime(folder / "dish.jpg", (long_ago, long_ago))
    return folder


@pytest.fixture
def unread(monkeypatch):
    """From its first call on, no picture may be read or looked into."""

    def forbid(*names):
        def not_called(*_):
            raise AssertionError("a file is read")

        for name in names:
            monkeypatch.setattr(name, not_called)

    return forbid


READING = ("auditor.runs.measured_file.read_photograph", "auditor.runs.known_files.read_head")
HASHING = "auditor.runs.known_files._sha256"


def test_an_unchanged_file_is_not_even_opened(settled, store, unread, monkeypatch):
    # On this file system a link or a new name counts as a change; here only the time is old.
    monkeypatch.setattr("auditor.runs.known_files._UNSETTLED_NS", 0)
    first = measured(settled, store)
    unread(*READING, HASHING)
    assert measured(settled, store) == first


def test_previews_are_remembered_byte_by_byte(settled, store, tmp_path, unread):
    folders = [tmp_path / "1", tmp_path / "2"]
    measured(settled, store, previews=folders[0])
    unread(READING[0])
    measured(settled, store, previews=folders[1])
    first, second = (
        {path.name: path.read_bytes() for path in folder.iterdir()} for folder in folders
    )
    assert len(first) == 2
    assert first == second


def test_only_previews_are_made_where_the_measurements_are_known(
    settled, store, tmp_path, monkeypatch
):
    first = measured(settled, store)

    def not_called(*_):
        raise AssertionError("a picture is measured")

    monkeypatch.setattr("auditor.runs.measured_file.measure", not_called)
    assert measured(settled, store, previews=tmp_path / "previews") == first
    assert len(list((tmp_path / "previews").iterdir())) == 2


@pytest.mark.parametrize("how", ["renamed", "copied", "touched"])
def test_the_same_bytes_are_known_again(settled, store, unread, how):
    first = measured(settled, store)
    old, new = settled / "dish.jpg", settled / "new.jpg"
    if how == "renamed":
        old.rename(new)
    elif how == "copied":
        new.write_bytes(old.read_bytes())
    else:
        new = old
        os.utime(old)
    unread(READING[0])
    again = measured(settled, store, file=new.name)
    assert again == replace(first, file=new.name)


def test_other_bytes_of_the_same_size_and_times_are_measured(settled, store):
    first = measured(settled, store)
    path = settled / "dish.jpg"
    before = path.stat()
    data = bytearray(path.read_bytes())
    data[-3] ^= 0xFF  # inside the last pixels
    path.write_bytes(data)
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    again = measured(settled, store)
    assert again.sha256 == hashlib.sha256(data).hexdigest() != first.sha256


def test_a_file_that_was_written_just_now_is_compared_by_its_bytes(folder, store):
    first = measured(folder, store)
    path = folder / "dish.jpg"
    before = path.stat()
    data = bytearray(path.read_bytes())
    data[-3] ^= 0xFF
    with path.open("r+b") as file:  # the same file, within one step of its time
        file.write(data)
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert measured(folder, store).sha256 != first.sha256


def test_a_file_that_changes_while_it_is_measured_is_not_known_by_its_old_identity(
    settled, store, monkeypatch
):
    really = measured_file.read_photograph

    def read_then_change(folder, file):
        photograph = really(folder, file)
        draw_dish(seed=3).save(folder / file, quality=90)
        return photograph

    monkeypatch.setattr(measured_file, "read_photograph", read_then_change)
    first = measured(settled, store)
    monkeypatch.setattr(measured_file, "read_photograph", really)
    assert measured(settled, store).sha256 != first.sha256


def test_another_plan_measures_nothing_again(call_auditor, settled, tmp_path, unread):
    cache = {"XDG_CACHE_HOME": str(tmp_path / "cache")}
    for at in ("centre", "left"):
        (tmp_path / "plan.toml").write_text(
            f'[[shot]]\nname = "a dish"\nfiles = "dish*"\nsubject = "{at}"\n', encoding="utf-8"
        )
        done = call_auditor("audit", settled, "--plan", "plan.toml", "--out", "report", **cache)
        assert done.returncode == 0, done.stderr
        # A correction of the new kind may have to be tried; the picture itself is known.
        unread("auditor.runs.measured_file.measure")
