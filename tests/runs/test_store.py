"""What is remembered between runs."""

from pathlib import Path

from auditor.runs.store import Store, default_location


def test_what_was_put_is_found_by_the_next_run(tmp_path):
    with Store(tmp_path / "deep" / "store.sqlite") as store:
        assert store.get("a") is None
        store.put("a", "first")
        store.put("a", "second")
    with Store(tmp_path / "deep" / "store.sqlite") as store:
        assert store.get("a") == "second"


def test_no_location_remembers_nothing():
    with Store(None) as store:
        store.put("a", "text")
        assert store.get("a") is None


def test_a_file_that_is_no_store_does_no_harm(tmp_path):
    path = tmp_path / "store.sqlite"
    path.write_bytes(b"this is not a database" * 100)
    with Store(path) as store:
        store.put("a", "text")
        assert store.get("a") is None
    assert path.read_bytes().startswith(b"this is not a database")


def test_a_place_that_cannot_be_made_does_no_harm(tmp_path):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    with Store(tmp_path / "file" / "store.sqlite") as store:
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
