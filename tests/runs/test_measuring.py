"""Pictures are measured or refused one by one; a bad one never costs the others."""

import json
import logging
import struct
import subprocess
import sys
from datetime import UTC, datetime

import pytest
from PIL import Image

from auditor.audit_request import AuditRequest
from auditor.audit_steps import audit
from auditor.errors import UnreadablePictureError
from auditor.runs import measured_file
from auditor.runs.measured_file import MeasuringTask, measure_file, measure_picture
from auditor.runs.outcome import RefusedPicture
from tests.conftest import ROOT, draw_dish, measured
from tests.photograph.pictures import encoded, with_tiff_entry
from tests.runs.finders import (
    DEADLY_COLOUR,
    HANGING_COLOUR,
    DeadlyFinder,
    HangingFinder,
    LeftHalfFinder,
)
from tests.systems import names_are_bytes


def task_of(folder, file):
    return MeasuringTask(folder, file, file, with_preview=True)


@pytest.fixture
def deadly_set(tmp_path):
    """Three pictures; `DeadlyFinder` kills the process that measures the middle one."""
    folder = tmp_path / "set"
    folder.mkdir()
    draw_dish().save(folder / "1.jpg", quality=90)
    Image.new("RGB", (300, 200), DEADLY_COLOUR).save(folder / "2.png")
    draw_dish(seed=1).save(folder / "3.jpg", quality=90)
    return folder


@pytest.mark.parametrize("size", [(3000, 2), (1, 3000), (12000, 30), (1, 1)])
def test_a_strip_is_refused_by_its_size(tmp_path, size):
    Image.new("RGB", size, (90, 80, 70)).save(tmp_path / "strip.png")
    outcome = measure_file(task_of(tmp_path, "strip.png"), None)
    assert isinstance(outcome.picture, RefusedPicture)
    assert outcome.picture.code == "too_few_pixels"
    assert f"{size[0]} by {size[1]}" in outcome.picture.message
    with pytest.raises(UnreadablePictureError) as caught:
        measure_picture(tmp_path / "strip.png")
    assert caught.value.code == "too_few_pixels"


@pytest.mark.parametrize("name", ["read_photograph", "measure"])
def test_a_fault_of_ours_refuses_one_picture_and_is_logged(tmp_path, monkeypatch, caplog, name):
    draw_dish().save(tmp_path / "dish.jpg")

    def fail(*_):
        raise ZeroDivisionError("of the test")

    monkeypatch.setattr(measured_file, name, fail)
    outcome = measure_file(task_of(tmp_path, "dish.jpg"), None)
    assert isinstance(outcome.picture, RefusedPicture)
    assert outcome.picture.code == "measuring_failed"
    assert "ZeroDivisionError" in outcome.picture.message
    (record,) = caplog.records
    assert (record.name, record.levelname) == ("auditor.runs.measured_file", "ERROR")
    assert "dish.jpg" in record.getMessage()
    assert record.exc_info[0] is ZeroDivisionError


def audit_with(finder, folder, directory, jobs):
    created = datetime.now(UTC)
    request = AuditRequest(
        folder, None, directory, jobs=jobs, store=None, created=created, finder=finder
    )
    return audit(request, lambda *_: None)


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_picture_that_kills_its_process_is_refused(deadly_set, tmp_path, jobs):
    audit_with(DeadlyFinder(), deadly_set, tmp_path / "report", jobs)
    record = json.loads((tmp_path / "report" / "audit.json").read_text(encoding="utf-8"))
    found = {image["file"]: image["reason"] for image in record["images"]}
    assert (found["1.jpg"], found["3.jpg"]) == (None, None)
    assert found["2.png"]["code"] == "process_killed"
    assert "export the picture smaller" in found["2.png"]["message"]


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_picture_that_hangs_and_one_that_kills_cost_no_other(tmp_path, monkeypatch, jobs):
    folder = tmp_path / "set"
    folder.mkdir()
    Image.new("RGB", (300, 200), DEADLY_COLOUR).save(folder / "1.png")
    Image.new("RGB", (300, 200), HANGING_COLOUR).save(folder / "2.png")
    for name in ("3.jpg", "4.jpg"):
        draw_dish(seed=ord(name[0])).save(folder / name, quality=90)
    monkeypatch.setattr("auditor.runs.measuring.PICTURE_LIMIT_S", 5.0)
    record = audit_with(HangingFinder(), folder, tmp_path / "report", jobs)
    found = {image.file: image.reason and image.reason.code for image in record.images}
    reasons = {"1.png": "process_killed", "2.png": "too_slow", "3.jpg": None, "4.jpg": None}
    assert found == reasons
    refused = [image for image in record.images if image.reason]
    assert all(image.reason.message for image in refused)
    assert (tmp_path / "report" / "index.html").is_file()


def test_a_finder_of_the_callers_own_replaces_ours(tmp_path):
    draw_dish().save(tmp_path / "dish.jpg", quality=90)
    own, usual = (
        measure_picture(tmp_path / "dish.jpg", finder) for finder in (LeftHalfFinder(), None)
    )
    assert own.file == usual.file == "dish.jpg"
    assert own.subject.value.centroid == pytest.approx((0.25, 0.5), abs=0.02)
    assert usual.subject.value.centroid == pytest.approx((0.5, 0.5), abs=0.02)


@names_are_bytes
def test_a_name_that_is_not_text_is_made_printable(tmp_path):
    name = "dish\udcff.jpg"
    draw_dish().save(tmp_path / name, "JPEG")
    assert measure_picture(tmp_path / name).file == "dish\ufffd.jpg"


def test_previews_may_be_left_out(tmp_path):
    draw_dish().save(tmp_path / "dish.jpg")
    (outcome,) = measured(tmp_path, ["dish.jpg"])
    assert outcome.preview is None
    assert outcome.picture.file == "dish.jpg"
    assert [path.name for path in tmp_path.iterdir()] == ["dish.jpg"]


def test_what_libtiff_writes_goes_to_the_log(tmp_path, caplog, capfd):
    tiff = encoded(draw_dish(), "TIFF", compression="tiff_lzw")
    unknown = with_tiff_entry(tiff, struct.pack("<HHII", 65000, 15, 1, 8))  # of no known type
    (tmp_path / "dish.tif").write_bytes(unknown)
    with caplog.at_level(logging.WARNING, logger="auditor"):
        (outcome,) = measured(tmp_path, ["dish.tif"])
    assert outcome.picture.file == "dish.tif"
    assert any("65000" in record.getMessage() for record in caplog.records)
    assert capfd.readouterr().err == ""


def test_an_audit_of_odd_pictures_writes_nothing_else_to_standard_error(run_auditor, tmp_path):
    (tmp_path / "set").mkdir()
    tiff = encoded(draw_dish(), "TIFF", compression="tiff_lzw")
    unknown = with_tiff_entry(tiff, struct.pack("<HHII", 65000, 15, 1, 8))
    (tmp_path / "set" / "tagged.tif").write_bytes(unknown)
    draw_dish().resize((64, 64)).save(tmp_path / "set" / "tiny.png")
    done = run_auditor("audit", "set", "--out", "report", "--fresh")
    assert done.returncode == 0
    assert "2 pictures measured" in done.stderr
    for raw in ("TIFF", "65000", "Warning", "warn"):
        assert raw not in done.stderr


def test_a_worker_loads_nothing_that_it_does_not_need(tmp_path):
    draw_dish().save(tmp_path / "dish.jpg")
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "from auditor.runs.measured_file import MeasuringTask, measure_file\n"
        "task = MeasuringTask(Path(sys.argv[1]), 'dish.jpg', 'dish.jpg', with_preview=True)\n"
        "made = measure_file(task, None)\n"
        "assert made.preview is not None, made\n"
        "print(*(name for name in sys.modules if name.startswith('auditor.')))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, tmp_path], cwd=ROOT, capture_output=True, text=True, check=True
    )
    rooms = {name.split(".")[1] for name in done.stdout.split()}
    assert "measurements" in rooms
    upper = {"plan", "comparison", "series", "advice", "findings", "record", "wording", "page"}
    assert not rooms & (upper | {"audit_steps", "command_line", "library"})
    assert "auditor.runs.store" not in done.stdout
    assert {name for name in done.stdout.split() if name.startswith("auditor.output")} == {
        "auditor.output",
        "auditor.output.previews",
    }


def test_a_blank_frame_has_no_subject(call_auditor, tmp_path):
    (tmp_path / "set").mkdir()
    for name, colour in (("black", (0, 0, 0)), ("white", (255, 255, 255)), ("grey", (120,) * 3)):
        Image.new("RGB", (640, 480), colour).save(tmp_path / "set" / f"{name}.png")
    done = call_auditor("audit", "set", "--out", "report")
    assert done.returncode == 0, done.stderr
    record = json.loads((tmp_path / "report" / "audit.json").read_text(encoding="utf-8"))
    for image in record["images"]:
        assert image["subject"]["centroid"] is None
        assert image["reasons"]["subject"]["code"] == "no_subject"
        assert image["technique_fit"] == {}
