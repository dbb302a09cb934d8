"""`--as` and `kind=`: how the pictures belong together, given by hand."""

import json

import pytest

import auditor
from tests.conftest import draw_dish


@pytest.fixture
def pictures(tmp_path):
    folder = tmp_path / "pictures"
    folder.mkdir()
    for seed in range(2):
        draw_dish(seed=seed, size=(240, 300)).save(folder / f"{seed}.png")
    return folder


@pytest.mark.parametrize("kind", ["set", "portfolio", "single"])
def test_the_option_decides(kind, call_auditor, pictures, tmp_path):
    done = call_auditor("audit", pictures, "--as", kind, "--out", tmp_path / kind)
    assert done.returncode == 0, done.stderr
    record = json.loads((tmp_path / kind / "audit.json").read_text(encoding="utf-8"))
    assert (record["kind"]["kind"], record["kind"]["is_given"]) == (kind, True)
    assert (record["portfolio"] is not None) == (kind == "portfolio")


def test_another_word_is_a_wrong_command(call_auditor, pictures, tmp_path):
    done = call_auditor("audit", pictures, "--as", "pile", "--out", tmp_path / "out")
    assert done.returncode == 2
    assert not (tmp_path / "out").exists()


def test_another_kind_is_a_value_error(pictures):
    with pytest.raises(ValueError, match="pile"):
        auditor.audit(pictures, kind="pile")
