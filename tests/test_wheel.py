"""A wheel works outside the repository, with its templates, weights and types inside."""

import os
import subprocess
import sys
import tomllib
import zipfile
from email.parser import HeaderParser
from pathlib import Path

import pytest
from packaging.requirements import Requirement

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


def test_a_wheel_states_what_it_needs(wheel):
    with zipfile.ZipFile(wheel) as archive:
        (name,) = (name for name in archive.namelist() if name.endswith(".dist-info/METADATA"))
        stated = HeaderParser().parsestr(archive.read(name).decode("utf-8"))
        licences = {Path(one).name for one in archive.namelist() if "/licenses/" in one}
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    assert set(stated.get_all("Provides-Extra")) == set(extras)
    needed = {extra: set() for extra in ("", *extras)}
    for one in map(Requirement, stated.get_all("Requires-Dist")):
        chosen = [
            extra
            for extra in extras
            if one.marker is not None and one.marker.evaluate({"extra": extra})
        ]
        for extra in chosen or [""]:
            needed[extra].add(f"{one.name}{one.specifier}")
    written = {"": project["dependencies"], **extras}
    assert needed == {extra: set(requirements) for extra, requirements in written.items()}
    assert stated["Requires-Python"] == project["requires-python"]
    assert stated["License-Expression"] == project["license"]
    assert licences == {"LICENSE", "LICENSE-APACHE-2.0.txt"}


def test_a_wheel_has_the_whole_program_but_its_training(wheel):
    with zipfile.ZipFile(wheel) as archive:
        packed = {name for name in archive.namelist() if name.startswith("auditor/")}
    files = (path for path in (ROOT / "auditor").rglob("*") if path.is_file())
    here = {path.relative_to(ROOT).as_posix() for path in files if path.suffix != ".pyc"}
    training = {name for name in here if name.startswith(TRAINING)}
    assert {name.rsplit("/", 1)[0] for name in training} >= set(TRAINING)
    assert packed == here - training
    assert "auditor/py.typed" in packed
