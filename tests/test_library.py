"""The package as a library: its names and types, what it returns, raises and leaves alone."""

import json
import logging
import os
import re
import shutil
import subprocess
import sys
from datetime import UTC, datetime
from importlib import import_module
from types import ModuleType

import pytest
from mypy import api as mypy

import auditor
from tests.conftest import ROOT, draw_dish
from tests.finders import SquareFinder

TIME = datetime(2025, 12, 1, tzinfo=UTC)
DEMO = ROOT / "fixtures" / "teahouse"

TYPED_USE = """
import auditor

reveal_type(auditor.audit("set"))
reveal_type(auditor.measure("dish.jpg"))
reveal_type(auditor.read_plan("plan.toml").shots)
auditor.audit("set", jobs="many")
auditor.no_such_name
"""


@pytest.fixture
def pictures(tmp_path):
    folder = tmp_path / "set"
    folder.mkdir()
    draw_dish().save(folder / "dish 2.jpg", quality=90)
    draw_dish((0.6, 0.4), seed=1).save(folder / "dish 10.jpg", quality=90)
    return folder


def files_under(folder):
    return sorted(path.relative_to(folder) for path in folder.rglob("*"))


def test_every_name_is_what_its_module_says_and_no_module():
    for name in auditor.__all__:
        value = getattr(auditor, name)
        assert getattr(import_module(value.__module__), name) is value
        assert not isinstance(value, ModuleType)
    assert set(auditor.__all__) <= set(dir(auditor))


def test_an_unknown_name_is_an_attribute_error():
    unknown = "no_such_name"
    with pytest.raises(AttributeError, match="module 'auditor' has no attribute 'no_such_name'"):
        getattr(auditor, unknown)


def test_a_type_checker_knows_the_types(tmp_path, monkeypatch):
    (tmp_path / "use.py").write_text(TYPED_USE, encoding="utf-8")
    monkeypatch.setenv("MYPYPATH", str(ROOT))
    monkeypatch.chdir(tmp_path)
    said, _, _ = mypy.run(["--strict", "--follow-imports=silent", "use.py"])
    assert re.findall(r'Revealed type is "(?:tuple\[)?([\w.]+)', said) == [
        "auditor.record.audit_record.AuditRecord",
        "auditor.measurements.measured_photograph.MeasuredPhotograph",
        "auditor.plan.shot_plan.Shot",
    ]
    assert re.findall(r"use\.py:(\d+): error: .*\[([\w-]+)\]", said) == [
        ("7", "arg-type"),
        ("8", "attr-defined"),
    ]


def test_an_audit_without_a_place_to_write_leaves_the_disk_alone(pictures, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    before = files_under(tmp_path)
    record = auditor.audit(pictures.name, jobs=2, created=TIME)
    assert [image.file for image in record.images] == ["dish 2.jpg", "dish 10.jpg"]
    assert files_under(tmp_path) == before


def test_an_audit_returns_what_it_writes(pictures, tmp_path):
    silent = auditor.audit(pictures, created=TIME)
    written = auditor.audit(str(pictures), out=tmp_path / "report", created=TIME)
    file = json.loads((tmp_path / "report" / "audit.json").read_text(encoding="utf-8"))
    assert written.model_dump(mode="json") == file
    assert silent == written
    assert silent.created == "2025-12-01T00:00:00+00:00"


def test_every_part_of_a_report_can_be_asked_for(pictures, tmp_path):
    out = tmp_path / "report"
    record = auditor.audit(
        pictures, out=out, created=TIME, summary=True, single_file=True, proofs=True
    )
    assert record.forms == ["single_file", "summary"]
    assert (out / "summary.html").is_file()
    assert (out / "proofs").is_dir()
    assert 'src="pictures/' not in (out / "index.html").read_text(encoding="utf-8")


def test_progress_is_called_for_each_picture(pictures):
    calls = []
    auditor.audit(pictures, progress=lambda *call: calls.append(call), jobs=1)
    assert calls == [(0, 2, ""), (1, 2, "dish 2.jpg"), (2, 2, "dish 10.jpg")]


def test_one_picture_is_measured_as_in_an_audit(pictures):
    measured = auditor.measure(pictures / "dish 10.jpg")
    record = auditor.audit(pictures, fresh=True)
    (image,) = (image for image in record.images if image.file == measured.file)
    assert image.status == "measured"
    assert image.subject.centroid == pytest.approx(measured.subject.value.centroid, abs=1e-4)
    assert image.tone.mean_lightness == pytest.approx(measured.tone.mean_lightness, abs=1e-2)


def test_another_finder_takes_the_place_of_the_trained_one(pictures):
    dish = pictures / "dish 2.jpg"  # its dish is in the middle
    trained = auditor.measure(dish).subject.value.centroid
    assert trained == pytest.approx((0.5, 0.5), abs=0.02)
    corner = SquareFinder(0.3, 0.7)
    assert auditor.measure(dish, finder=corner).subject.value.centroid == pytest.approx(
        (0.3, 0.7), abs=0.02
    )
    for finder, place in ((corner, (0.3, 0.7)), (None, trained), (corner, (0.3, 0.7))):
        record = auditor.audit(pictures, finder=finder)
        (image,) = (image for image in record.images if image.file == dish.name)
        assert image.subject.centroid == pytest.approx(place, abs=0.02)


def test_a_plan_is_read_and_its_faults_are_one_error(tmp_path):
    plan = tmp_path / "plan.toml"
    plan.write_text('[[shot]]\nname = "dish"\nfiles = ["dish*"]\n', encoding="utf-8")
    assert [shot.name for shot in auditor.read_plan(str(plan)).shots] == ["dish"]
    plan.write_text('[[shot]]\nname = "dish"\ncolour = 3\nfiles = []\n', encoding="utf-8")
    with pytest.raises(auditor.InvalidPlanError) as caught:
        auditor.read_plan(plan)
    assert [fault.line for fault in caught.value.faults] == [3, 4]
    lines = str(caught.value).splitlines()
    assert [line.startswith(f"{plan}:{n}: ") for line, n in zip(lines, (3, 4), strict=True)] == [
        True,
        True,
    ]


def test_errors_are_of_one_family(pictures, tmp_path):
    (tmp_path / "empty").mkdir()
    (pictures / "words.jpg").write_text("dear client", encoding="utf-8")
    with pytest.raises(auditor.NothingToMeasureError):
        auditor.audit(tmp_path / "empty")
    with pytest.raises(auditor.UnusableArgumentError):
        auditor.audit(tmp_path / "nowhere")
    with pytest.raises(auditor.UnreadablePictureError) as caught:
        auditor.measure(pictures / "words.jpg")
    assert caught.value.code == "not_a_picture"
    for name in auditor.__all__:
        if name.endswith("Error"):
            assert issubclass(getattr(auditor, name), auditor.AuditorError)


def test_arguments_that_make_no_sense_are_value_errors(pictures):
    with pytest.raises(ValueError, match="jobs must be at least 1, not 0"):
        auditor.audit(pictures, jobs=0)
    with pytest.raises(ValueError, match="need out"):
        auditor.audit(pictures, summary=True)
    with pytest.raises(ValueError, match="time zone"):
        auditor.audit(pictures, created=TIME.replace(tzinfo=None))


def test_nothing_is_printed_and_what_failed_is_logged(pictures, capfd, caplog):
    (pictures / "words.jpg").write_text("dear client", encoding="utf-8")
    with caplog.at_level(logging.INFO, "auditor"):
        auditor.audit(pictures, fresh=True)
    assert capfd.readouterr() == ("", "")
    (refused,) = (record for record in caplog.records if "words.jpg" in record.getMessage())
    assert refused.name.startswith("auditor.")


def test_the_worked_example_prints_what_the_command_finds(call_auditor, tmp_path):
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    example = re.search(r"<!-- library example -->\n```python\n(.*?)```", text, re.DOTALL)
    assert example is not None
    (tmp_path / "finals").mkdir()
    for name in ("01-kettle-and-clementines", "02-kettle-and-clementines", "09-lemon-tart"):
        shutil.copy(DEMO / f"{name}.jpg", tmp_path / "finals")
    shutil.copy(DEMO / "plan.toml", tmp_path)
    (tmp_path / "example.py").write_text(example[1], encoding="utf-8")
    before = files_under(tmp_path)
    done = subprocess.run(
        [sys.executable, "example.py"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert files_under(tmp_path) == before

    call_auditor("audit", "finals", "--plan", "plan.toml", "--out", "report")
    record = json.loads((tmp_path / "report" / "audit.json").read_text(encoding="utf-8"))
    *findings, camera = done.stdout.splitlines()
    assert findings == [
        " ".join([*finding["files"], finding["message"]]) for finding in record["findings"]
    ]
    assert any("09-lemon-tart.jpg" in line for line in findings)
    elevation = record["images"][0]["camera_elevation"]
    said = re.fullmatch(r"Camera elevation (\d+) degrees, (\d+)% sure", camera)
    assert said is not None
    assert int(said[1]) == pytest.approx(elevation["deg"], abs=0.51)
    assert int(said[2]) == pytest.approx(100 * elevation["confidence"], abs=0.51)


def test_a_script_without_the_usual_guard_gets_an_answer(pictures, tmp_path):
    script = "import auditor\nauditor.audit('set')\nprint('not reached')\n"
    (tmp_path / "script.py").write_text(script, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "script.py"],
        cwd=pictures.parent,
        env={**os.environ, "PYTHONPATH": str(ROOT), "XDG_CACHE_HOME": str(tmp_path / "none")},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert "below `if __name__ == '__main__':`" in done.stderr.splitlines()[-1]
