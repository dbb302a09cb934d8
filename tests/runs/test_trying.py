"""Changes are tried on pictures that are read, never written."""

import hashlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from auditor.corrections import Change
from auditor.geometry import Box
from auditor.runs import trying
from auditor.runs.measured_file import MeasuringTask
from auditor.runs.run import Run, starting_run
from auditor.runs.store import Store
from auditor.runs.trying import SmallPicture, Trials, TrialTask, try_changes
from auditor.runs.workers import Lost
from tests.conftest import ROOT, measured

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


def sha256(path: Path):
    return hashlib.sha256(path.read_bytes()).hexdigest()


def not_called(*_arguments):
    raise AssertionError("a picture is read again")


@pytest.fixture
def store(tmp_path):
    return tmp_path / "store.sqlite"


@pytest.fixture
def outcomes(folder, measuring_here):
    del measuring_here
    return measured(folder, ["bowl.jpg"])


def test_what_was_tried_is_remembered_and_the_original_stays(folder, outcomes, store, monkeypatch):
    before = sha256(folder / "bowl.jpg")
    with starting_run(jobs=1, store=store) as run:
        trials = Trials(folder, ["bowl.jpg"], outcomes, run, lambda *_: None)
        first = trials({"bowl.jpg": CHANGES})["bowl.jpg"]
    assert [(one.width, one.height) for one in first] == [(288, 360), (320, 400)]
    original = outcomes[0].picture
    assert first[1].tone.exposure_ev - original.tone.exposure_ev == pytest.approx(0.5, abs=0.1)
    assert sha256(folder / "bowl.jpg") == before
    monkeypatch.setattr(trying, "read_to_measure", not_called)
    with starting_run(jobs=1, store=store) as run:
        trials = Trials(folder, ["bowl.jpg"], outcomes, run, lambda *_: None)
        assert trials({"bowl.jpg": CHANGES})["bowl.jpg"] == first


def test_only_what_is_new_is_tried(folder, outcomes, store, monkeypatch):
    tried = []
    really = trying.try_changes

    def noted(task, finder):
        tried.append(task.changes)
        return really(task, finder)

    monkeypatch.setattr(trying, "try_changes", noted)
    with starting_run(jobs=1, store=store) as run:
        trials = Trials(folder, ["bowl.jpg"], outcomes, run, lambda *_: None)
        (first,) = trials({"bowl.jpg": CHANGES[1:]})["bowl.jpg"]
        _, again = trials({"bowl.jpg": CHANGES})["bowl.jpg"]
    assert tried == [CHANGES[1:], CHANGES[:1]]
    assert again == first


def test_a_file_that_is_another_one_by_now_is_not_tried(folder):
    task = TrialTask(MeasuringTask(folder, "bowl.jpg", "bowl.jpg"), "0" * 64, CHANGES)
    assert try_changes(task, None) == (None, None)


def test_a_version_is_written_small_without_metadata(
    folder, outcomes, store, tmp_path, monkeypatch
):
    path, other_path = tmp_path / "proofs" / "0001-bowl.jpg", tmp_path / "b.jpg"
    versions = {
        "bowl.jpg": [
            SmallPicture(CHANGES[0], path, 200),
            SmallPicture(Change(), other_path, 999),
        ]
    }
    original = folder / "bowl.jpg"
    before = sha256(original)
    with starting_run(jobs=1, store=store) as run:
        Trials(folder, ["bowl.jpg"], outcomes, run, lambda *_: None).write(versions)
    with Image.open(path) as proof:
        assert (proof.format, proof.mode, proof.size) == ("JPEG", "RGB", (160, 200))
        assert not proof.getexif()
        assert not {"icc_profile", "exif", "xmp", "comment", "photoshop"} & proof.info.keys()
    with Image.open(other_path) as other, Image.open(original) as whole:
        assert other.size == whole.size
        assert np.abs(np.asarray(other).astype(int) - np.asarray(whole)).mean() < 4
    assert sha256(original) == before

    written = path.read_bytes(), other_path.read_bytes()
    path.unlink()
    other_path.unlink()
    monkeypatch.setattr(trying, "read_to_measure", not_called)
    with starting_run(jobs=1, store=store) as run:
        Trials(folder, ["bowl.jpg"], outcomes, run, lambda *_: None).write(versions)
    assert (path.read_bytes(), other_path.read_bytes()) == written


class TheseWorkers:
    """Workers whose results are made by the test."""

    def __init__(self, spread):
        self.spread = spread


def trials_with(spread, folder, outcomes, progress):
    store = Store(None, {}, "")
    run = Run(TheseWorkers(spread), store)
    return Trials(folder, ["bowl.jpg"], outcomes, run, progress)


def test_a_process_that_is_killed_leaves_its_changes_untried(folder, outcomes):
    def killed(_function, tasks, _limit_s):
        yield from ((index, Lost.KILLED) for index in range(len(tasks)))

    calls = []
    trials = trials_with(killed, folder, outcomes, lambda *call: calls.append(call))
    assert trials({"bowl.jpg": CHANGES}) == {"bowl.jpg": (None, None)}
    assert calls == [(0, 1, ""), (1, 1, "bowl.jpg")]


def test_an_interrupt_ends_the_processes_before_it_goes_on(folder, outcomes):
    closed = []

    def two_tasks(_function, _tasks, _limit_s):
        try:
            yield 0, (None, None)
            yield 0, (None, None)
        finally:
            closed.append(True)

    def interrupt(n_done, _total, _file):
        if n_done:
            assert not closed
            raise KeyboardInterrupt

    trials = trials_with(two_tasks, folder, outcomes, interrupt)
    with pytest.raises(KeyboardInterrupt) as caught:
        trials({"bowl.jpg": CHANGES})
    assert closed == [True]
    assert caught.value.__context__ is None
