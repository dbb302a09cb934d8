"""The file in which measurements are remembered."""

import sqlite3
from contextlib import closing
from pathlib import Path

from auditor.runs.store import Store, default_location

# The table of databases that were written before versions had a column of their own.
EARLIER_TABLE = "CREATE TABLE result (key TEXT PRIMARY KEY, text TEXT)"


def tables_of(path):
    with closing(sqlite3.connect(path)) as connection:
        return {name for (name,) in connection.execute("SELECT name FROM sqlite_master")}


def test_what_was_put_is_found_by_the_next_run(tmp_path):
    with Store(tmp_path / "deep" / "store.sqlite", "1") as store:
        assert store.get("a") is None
        store.put("a", "first")
        store.put("a", "second")
    with Store(tmp_path / "deep" / "store.sqlite", "1") as store:
        assert store.get("a") == "second"


def test_versions_do_not_see_each_other_and_can_be_removed(tmp_path):
    path = tmp_path / "store.sqlite"
    with Store(path, "1") as one, Store(path, "2") as two:
        one.put("a", "first")
        assert two.get("a") is None
        two.put("a", "second")
        assert (one.get("a"), two.get("a")) == ("first", "second")
        two.remove_other_versions()
        assert (one.get("a"), two.get("a")) == (None, "second")
        one.put("a", "third")
        assert one.get("a") == "third"


def test_removed_versions_give_back_their_room(tmp_path):
    path = tmp_path / "store.sqlite"
    with Store(path, "1") as store:
        for number in range(50):
            store.put(str(number), "x" * 10_000)
    full = path.stat().st_size
    with Store(path, "2") as store:
        store.remove_other_versions()
    assert path.stat().st_size < full / 10


def test_a_file_of_an_earlier_version_is_used_and_its_table_removed(tmp_path):
    path = tmp_path / "store.sqlite"
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute(EARLIER_TABLE)
        connection.execute("INSERT INTO result VALUES ('a 1', 'earlier')")
    with Store(path, "1") as store:
        assert store.get("a") is None
        store.put("a", "text")
        assert "result" in tables_of(path)
        store.remove_other_versions()
        assert store.get("a") == "text"
    assert "result" not in tables_of(path)


def test_no_location_remembers_nothing():
    with Store(None, "1") as store:
        store.put("a", "text")
        assert store.get("a") is None
        store.remove_other_versions()


def test_a_file_that_is_no_store_does_no_harm(tmp_path):
    path = tmp_path / "store.sqlite"
    path.write_bytes(b"this is not a database" * 100)
    with Store(path, "1") as store:
        store.put("a", "text")
        assert store.get("a") is None
        store.remove_other_versions()
    assert path.read_bytes().startswith(b"this is not a database")


def test_a_file_with_another_table_of_that_name_does_no_harm(tmp_path):
    path = tmp_path / "store.sqlite"
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("CREATE TABLE measurement (something TEXT)")
    with Store(path, "1") as store:
        assert store.get("a") is None
        store.put("a", "text")
        assert store.get("a") is None
    with Store(path, "1") as store:
        store.remove_other_versions()
    assert tables_of(path) == {"measurement"}


def test_a_place_that_cannot_be_made_does_no_harm(tmp_path):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    with Store(tmp_path / "file" / "store.sqlite", "1") as store:
        store.put("a", "text")
        assert store.get("a") is None


def test_it_lies_where_this_users_caches_lie(monkeypatch, tmp_path):
    # XDG Base Directory Specification 0.8: $XDG_CACHE_HOME, else ~/.cache.
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert default_location() == tmp_path / "auditor" / "measurements.sqlite"
    monkeypatch.delenv("XDG_CACHE_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert default_location() == Path(tmp_path) / ".cache" / "auditor" / "measurements.sqlite"
