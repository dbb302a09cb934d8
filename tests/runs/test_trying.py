"""Changes are tried on pictures that are read, never written."""

import hashlib
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from PIL import Image

from auditor.corrections import Change
from auditor.geometry import Box
from auditor.runs import trying
from auditor.runs.executor import Killed
from auditor.runs.measuring import MeasuringSettings, MeasuringTask, measure_file
from auditor.runs.trying import (
    SmallPicture,
    Trials,
    TrialTask,
    WritingTask,
    try_changes,
    write_versions,
)
from tests.conftest import ROOT

CHANGES = (Change(crop=Box(0.1, 0.0, 1.0, 0.9)), Change(exposure_ev=0.5))


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("set")
    with Image.open(ROOT / "fixtures" / "teahouse" / "03-clementine-bowl.jpg") as picture:
        small = picture.convert("RGB").resize((320, 400))
    exif = Image.Exif()
    exif[0x0131] = "A program"
    small.save(place / "bowl.jpg", quality=95, exif=exif)
    return place


def task_for(folder):
    return MeasuringTask(folder, "bowl.jpg", "bowl.jpg", None)


def settings_with(store):
    return MeasuringSettings(store, fresh=False, finder=None, code_version="1")


def sha256(path: Path):
    return hashlib.sha256(path.read_bytes()).hexdigest()


def test_what_was_tried_is_remembered_and_the_original_stays(folder, tmp_path, monkeypatch):
    settings = settings_with(tmp_path / "store.sqlite")
    before = sha256(folder / "bowl.jpg")
    task = TrialTask(task_for(folder), before, CHANGES)
    first = try_changes(task, settings)
    assert [(one.width, one.height) for one in first] == [(288, 360), (320, 400)]
    original = measure_file(task_for(folder), settings).picture
    assert first[1].tone.exposure_ev - original.tone.exposure_ev == pytest.approx(0.5, abs=0.1)
    assert sha256(folder / "bowl.jpg") == before
    # Nothing is read or measured a second time.
    monkeypatch.setattr(trying, "read_to_measure", None)
    again = try_changes(task, settings)
    assert [one.subject for one in again] == [one.subject for one in first]


def test_a_file_that_is_another_one_by_now_is_not_tried(folder):
    task = TrialTask(task_for(folder), "0" * 64, CHANGES)
    assert try_changes(task, settings_with(None)) == (None, None)


def test_a_version_is_written_small_without_metadata(folder, tmp_path):
    path = tmp_path / "proofs" / "0001-bowl.jpg"
    versions = (
        SmallPicture(CHANGES[0], path, 200),
        SmallPicture(Change(), tmp_path / "b.jpg", 999),
    )
    original = folder / "bowl.jpg"
    before = sha256(original)
    assert write_versions(WritingTask(task_for(folder), before, versions))
    with Image.open(path) as proof:
        assert (proof.format, proof.mode, proof.size) == ("JPEG", "RGB", (160, 200))
        assert not proof.getexif()
        assert not {"icc_profile", "exif", "xmp", "comment", "photoshop"} & proof.info.keys()
    with Image.open(tmp_path / "b.jpg") as other, Image.open(original) as whole:
        assert other.size == whole.size
        assert np.abs(np.asarray(other).astype(int) - np.asarray(whole)).mean() < 4
    assert sha256(original) == before


def trials_of(folder, progress=None):
    """Trials on one picture, and the calls of their progress."""
    one = SimpleNamespace(file="bowl.jpg", sha256="0" * 64)
    options = {"jobs": 1, "store": None, "fresh": False, "finder": None}
    calls = []
    progress = progress or (lambda *call: calls.append(call))
    trials = Trials(folder, ["bowl.jpg"], [one], **options, progress=progress)
    return trials, calls


def test_a_process_that_is_killed_leaves_its_changes_untried(folder, monkeypatch):
    def killed(_function, tasks, _jobs):
        yield from ((index, Killed()) for index in range(len(tasks)))

    monkeypatch.setattr(trying, "spread", killed)
    trials, calls = trials_of(folder)
    assert trials({"bowl.jpg": CHANGES}) == {"bowl.jpg": (None, None)}
    assert calls == [(0, 1, ""), (1, 1, "bowl.jpg")]


def test_an_interrupt_ends_the_processes_before_it_goes_on(folder, monkeypatch):
    closed = []

    def two_tasks(_function, _tasks, _jobs):
        try:
            yield 0, (None, None)
            yield 0, (None, None)
        finally:
            closed.append(True)

    def interrupt(n_done, _total, _file):
        if n_done:
            assert not closed
            raise KeyboardInterrupt

    monkeypatch.setattr(trying, "spread", two_tasks)
    trials, _ = trials_of(folder, interrupt)
    with pytest.raises(KeyboardInterrupt) as caught:
        trials({"bowl.jpg": CHANGES})
    assert closed == [True]
    assert caught.value.__context__ is None
