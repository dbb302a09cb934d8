"""One odd picture never costs the others."""

import json

import pytest
from PIL import Image

from auditor.record.filling import RefusedPicture
from auditor.runs import measuring
from auditor.runs.measuring import MeasuringTask, measure_file
from tests.conftest import draw_dish


@pytest.mark.parametrize("size", [(3000, 2), (1, 3000), (12000, 30), (1, 1)])
def test_a_strip_is_refused_by_its_size(tmp_path, size):
    Image.new("RGB", size, (90, 80, 70)).save(tmp_path / "strip.png")
    outcome = measure_file(
        MeasuringTask(tmp_path, "strip.png", "strip.png", tmp_path / "small.jpg", None)
    )
    assert isinstance(outcome.picture, RefusedPicture)
    assert outcome.picture.code == "too_few_pixels"
    assert f"{size[0]} by {size[1]}" in outcome.picture.message


def test_a_fault_of_ours_refuses_one_picture(tmp_path, monkeypatch):
    draw_dish().save(tmp_path / "dish.jpg")

    def fail(*_):
        raise ZeroDivisionError("of the test")

    monkeypatch.setattr(measuring, "measure", fail)
    outcome = measure_file(
        MeasuringTask(tmp_path, "dish.jpg", "dish.jpg", tmp_path / "small.jpg", None)
    )
    assert isinstance(outcome.picture, RefusedPicture)
    assert outcome.picture.code == "measuring_failed"
    assert "ZeroDivisionError" in outcome.picture.message


def test_a_blank_frame_has_no_subject(run_auditor, tmp_path):
    (tmp_path / "set").mkdir()
    for name, colour in (("black", (0, 0, 0)), ("white", (255, 255, 255)), ("grey", (120,) * 3)):
        Image.new("RGB", (640, 480), colour).save(tmp_path / "set" / f"{name}.png")
    done = run_auditor("audit", "set", "--out", "report")
    assert done.returncode == 0, done.stderr
    record = json.loads((tmp_path / "report" / "audit.json").read_text(encoding="utf-8"))
    for image in record["images"]:
        assert image["subject"]["centroid"] is None
        assert image["reasons"]["subject"]["code"] == "no_subject"
        assert image["technique_fit"] == {}
