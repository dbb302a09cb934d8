"""A wheel works outside the repository, with its templates, weights and types inside."""

import os
import subprocess
import sys
import zipfile

import pytest

from tests.conftest import ROOT, draw_dish

TRAINING = (
    "auditor/saliency/training",
    "auditor/measurements/additions/training",
    "auditor/measurements/colour_temperature/training",
    "auditor/sketch/training",
)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    build = (sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder))
    built = subprocess.run([*build, "."], cwd=ROOT, capture_output=True, text=True, check=False)
    assert built.returncode == 0, built.stdout + built.stderr
    (path,) = folder.glob("*.whl")
    return path


def test_a_wheel_audits_a_folder(wheel, tmp_path):
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path / "installed")
    (tmp_path / "set").mkdir()
    draw_dish().save(tmp_path / "set" / "dish.jpg")
    done = subprocess.run(
        [sys.executable, "-P", "-m", "auditor", "audit", "set", "--out", "report"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path / "installed")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "report" / "index.html").is_file()


def test_a_wheel_has_the_whole_program_but_its_training(wheel):
    with zipfile.ZipFile(wheel) as archive:
        packed = {name for name in archive.namelist() if name.startswith("auditor/")}
    files = (path for path in (ROOT / "auditor").rglob("*") if path.is_file())
    here = {path.relative_to(ROOT).as_posix() for path in files if path.suffix != ".pyc"}
    training = {name for name in here if name.startswith(TRAINING)}
    assert {name.rsplit("/", 1)[0] for name in training} >= set(TRAINING)
    assert packed == here - training
    assert "auditor/py.typed" in packed
