"""A wheel works outside the repository, with its templates, weights and data inside."""

import os
import subprocess
import sys
import zipfile

from tests.conftest import ROOT, draw_dish


def test_a_wheel_audits_a_folder(tmp_path):
    built = subprocess.run(
        [
            sys.executable,
            "-m",
            "build",
            "--wheel",
            "--no-isolation",
            "--outdir",
            str(tmp_path),
            ".",
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert built.returncode == 0, built.stdout + built.stderr
    (wheel,) = tmp_path.glob("*.whl")
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
