"""Removing what is remembered."""

from pathlib import Path

import pytest

from auditor.errors import UnusableArgumentError
from auditor.history.forgetting import forget
from auditor.history.shoot_store import read_shoots, remember_shoot
from auditor.runs.store import Kept, Store
from auditor.wording.forgetting import forgotten_sentence
from tests.history.invented_shoots import invented_shoot, rng_of


def test_shoots_are_removed_and_counted(tmp_path):
    store = tmp_path / "shoots.sqlite"
    for seed, day in enumerate(("2026-03-01", "2026-04-01")):
        record = invented_shoot(rng_of(seed), n_pictures=2, day=day)
        remember_shoot(store, record, Path(day))
    size = store.stat().st_size
    forgotten = forget("shoots", store)
    assert (forgotten.n, forgotten.n_bytes, forgotten.is_there) == (2, size, True)
    assert list(tmp_path.iterdir()) == []
    assert read_shoots(store) == ()
    assert forgotten_sentence(forgotten).startswith("Removed: 2 remembered shoots (")


def test_measurements_are_counted_by_picture(tmp_path):
    store = tmp_path / "measurements.sqlite"
    versions = dict.fromkeys(Kept, "1")
    with Store(store, versions, "1") as one:
        for name in ("a" * 64, "a" * 64 + " without the camera's areas"):
            one.put(Kept.MEASURED, name, b"text")
        one.put(Kept.PREVIEW, "b" * 64, b"picture")
    forgotten = forget("measurements", store)
    assert forgotten.n == 1
    assert "measurements of 1 picture (" in forgotten_sentence(forgotten)
    assert not store.exists()


def test_nothing_there_is_said(tmp_path):
    forgotten = forget("shoots", tmp_path / "shoots.sqlite")
    assert not forgotten.is_there
    said = forgotten_sentence(forgotten)
    assert said == "Nothing to remove: no shoots are remembered."


def test_a_damaged_file_is_removed_with_what_a_crash_left_beside_it(tmp_path):
    store = tmp_path / "shoots.sqlite"
    store.write_bytes(b"no database")
    (tmp_path / "shoots.sqlite-journal").write_bytes(b"12345")
    (tmp_path / "shoots.sqlite.mine").write_bytes(b"of somebody")
    forgotten = forget("shoots", store)
    assert (forgotten.n, forgotten.n_bytes) == (None, 16)
    said = forgotten_sentence(forgotten)
    assert said == "Removed: the remembered shoots, which could not be read (16 bytes)."
    assert [path.name for path in tmp_path.iterdir()] == ["shoots.sqlite.mine"]


def test_a_link_is_removed_and_not_what_it_leads_to(tmp_path):
    (tmp_path / "elsewhere").write_text("of somebody", encoding="utf-8")
    (tmp_path / "shoots.sqlite").symlink_to(tmp_path / "elsewhere")
    assert forget("shoots", tmp_path / "shoots.sqlite").is_there
    assert [path.name for path in tmp_path.iterdir()] == ["elsewhere"]


def test_what_cannot_be_removed_is_said(tmp_path):
    (tmp_path / "shoots.sqlite").mkdir()
    with pytest.raises(UnusableArgumentError, match="cannot be removed"):
        forget("shoots", tmp_path / "shoots.sqlite")
