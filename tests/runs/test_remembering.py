"""Which measurements are remembered, and when they are measured again."""

import json
import sqlite3
from contextlib import closing

import pytest

from auditor.runs.measuring import measure_all
from tests.conftest import draw_dish
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


def measured(folder, store, **options):
    (outcome,) = measure_all(
        folder, ["dish.jpg"], None, jobs=1, store=store, progress=lambda *_: None, **options
    )
    return outcome.picture


def rows_of(store):
    with closing(sqlite3.connect(store)) as connection:
        return connection.execute("SELECT * FROM measurement").fetchall()


def plant(store):
    """Change what is remembered, so that it can be recognised."""
    with closing(sqlite3.connect(store)) as connection, connection:
        ((text,),) = connection.execute("SELECT text FROM measurement").fetchall()
        changed = json.dumps({**json.loads(text), "creator": PLANTED})
        connection.execute("UPDATE measurement SET text = ?", (changed,))


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
    with closing(sqlite3.connect(store)) as connection, connection:
        connection.execute("UPDATE measurement SET text = '{}'")
    assert measured(folder, store) == first
    assert rows_of(store)[0][2] != "{}"


def test_an_audit_removes_what_other_versions_have_remembered(folder, store):
    measured(folder, store)
    with closing(sqlite3.connect(store)) as connection, connection:
        connection.execute("INSERT INTO measurement VALUES ('a', 'another version', 'text')")
    measured(folder, store)
    assert [version for _, version, _ in rows_of(store)] != ["another version"]
    assert len(rows_of(store)) == 1
