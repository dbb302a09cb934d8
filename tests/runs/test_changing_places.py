"""Folders and files that are changed by others during an audit."""

import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime

import pytest

from auditor.audit_request import AuditRequest
from auditor.audit_steps import audit
from auditor.runs import store_file
from tests.conftest import ROOT, draw_dish
from tests.systems import WINDOWS

N_PICTURES = 3
CREATED = datetime(2026, 1, 1, tzinfo=UTC)

pytestmark = pytest.mark.skipif(WINDOWS, reason="there a file in use cannot be changed")


@pytest.fixture
def pictures(tmp_path):
    folder = tmp_path / "set"
    folder.mkdir()
    for number in range(N_PICTURES):
        draw_dish(seed=number, size=(240, 300)).save(folder / f"{number}.jpg", quality=90)
    return folder


def contents(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def audited(pictures, report, store, change=lambda: None):
    """Audit; change something after the first picture. The record, and what was noted."""
    notes = []

    def progress(n_done, _total, _name):
        if n_done == 1:
            change()

    request = AuditRequest(pictures, None, report, jobs=1, store=store, created=CREATED)
    return audit(request, progress, note=notes.append), notes


@pytest.mark.usefixtures("measuring_here")
def test_pictures_that_vanish_are_refused(pictures, tmp_path):
    report = tmp_path / "report"
    record, notes = audited(pictures, report, None, lambda: shutil.rmtree(pictures))
    found = {image.file: image.reason and image.reason.code for image in record.images}
    assert found == {"0.jpg": None, "1.jpg": "vanished", "2.jpg": "vanished"}
    assert notes == []
    assert (report / "index.html").is_file()


def remove(store):
    shutil.rmtree(store.parent)


def damage(store):
    for path in store.parent.iterdir():
        with path.open("r+b") as file:
            file.write(b"\xa5" * path.stat().st_size)


@pytest.mark.usefixtures("measuring_here")
@pytest.mark.parametrize(
    ("change", "remark"),
    [
        (remove, "it was moved or removed during this run"),
        (damage, "it is damaged, so a new one is begun"),
    ],
)
def test_a_store_that_is_changed_costs_no_picture(pictures, tmp_path, change, remark):
    first, _ = audited(pictures, tmp_path / "first", None)
    store = tmp_path / "cache" / "store.sqlite"
    second, notes = audited(pictures, tmp_path / "second", store, lambda: change(store))
    assert second == first
    assert contents(tmp_path / "first") == contents(tmp_path / "second")
    (note,) = notes
    assert remark in note
    _, notes = audited(pictures, tmp_path / "third", store)
    assert notes == []


@pytest.mark.usefixtures("measuring_here")
def test_a_store_that_another_program_takes_costs_no_picture(pictures, tmp_path, monkeypatch):
    monkeypatch.setattr(store_file, "LOCK_WAIT_S", 0.1)
    store = tmp_path / "store.sqlite"
    with closing(sqlite3.connect(store, isolation_level=None)) as other:
        take = lambda: other.execute("BEGIN IMMEDIATE")  # noqa: E731
        record, notes = audited(pictures, tmp_path / "report", store, take)
    assert not any(image.reason for image in record.images)
    (note,) = notes
    assert "nothing more is remembered in this run (database is locked)" in note


@pytest.mark.usefixtures("pictures")
def test_two_audits_at_once_share_what_they_remember(tmp_path):
    environment = {
        **os.environ,
        "PYTHONPATH": str(ROOT),
        "XDG_CACHE_HOME": str(tmp_path / "cache"),
        "SOURCE_DATE_EPOCH": "1",
    }
    both = [
        subprocess.Popen(
            [sys.executable, "-m", "auditor", "audit", "set", "--out", out],
            cwd=tmp_path,
            env=environment,
            stderr=subprocess.PIPE,
            text=True,
        )
        for out in ("first", "second")
    ]
    said = [one.communicate(timeout=300)[1] for one in both]
    assert [one.returncode for one in both] == [0, 0], said
    assert all("remembered" not in text for text in said), said
    first, second = (contents(tmp_path / out) for out in ("first", "second"))
    assert first == second
    assert len(first) == 4 + 2 * N_PICTURES
