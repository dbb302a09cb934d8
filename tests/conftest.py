"""What several tests share."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

# One thread in each process: there are as many processes as cores. Numpy reads this when loaded.
os.environ["OMP_NUM_THREADS"] = os.environ["OPENBLAS_NUM_THREADS"] = "1"
os.environ["MKL_NUM_THREADS"] = "1"

import numpy as np
import pytest
from filelock import FileLock
from hypothesis import settings
from PIL import Image, ImageDraw

from auditor import __main__ as start
from auditor.errors import Fault, InvalidPlanError
from auditor.plan.reading import read_plan
from auditor.runs.measuring import measure_all
from auditor.runs.run import starting_run
from tests.plan_files import WINTER_CITRUS

TESTS = Path(__file__).parent
ROOT = TESTS.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")

# How long an example takes says little where all cores are busy.
settings.register_profile("all cores busy", deadline=None)
settings.load_profile("all cores busy")


def pytest_xdist_auto_num_workers(config):
    """No other processes for the tests of one file: to start them would take longer."""
    one_file = len(config.args) == 1 and config.args[0].partition("::")[0].endswith(".py")
    return 0 if one_file else None


def pytest_collection_modifyitems(items):
    """Begin with the tests of the whole program, the longest, so that no process ends late."""
    items.sort(key=lambda item: item.path.parent != TESTS)


@pytest.fixture(autouse=True)
def _own_cache(tmp_path_factory, monkeypatch):
    """No test reads or writes what this user's audits remember."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.getbasetemp() / "cache"))


def draw_dish(centre=(0.5, 0.5), size=(480, 600), ground=(150, 140, 128), seed=0):
    """A round white dish with orange food on a plain, slightly grainy table."""
    picture = Image.new("RGB", size, ground)
    pen = ImageDraw.Draw(picture)
    x, y = centre[0] * size[0], centre[1] * size[1]
    for radius, colour in ((110, (236, 234, 230)), (84, (222, 220, 215)), (60, (214, 120, 32))):
        pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=colour)
    grain = np.random.default_rng(seed).normal(0, 3, (size[1], size[0], 1))
    return Image.fromarray(np.clip(np.asarray(picture) + grain, 0, 255).astype(np.uint8))


def run_process(folder, *arguments, **environment):
    """Run the command as a person does, in a process of its own."""
    return run_program(folder, sys.executable, "-m", "auditor", *arguments, **environment)


def run_program(folder, *words, **environment):
    """Run a program that finds the package that is tested."""
    return subprocess.run(
        list(map(str, words)),
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )


@pytest.fixture
def run_auditor(tmp_path):
    """Run the command as a person does, in an empty folder."""

    def run(*arguments: object, **environment: str) -> subprocess.CompletedProcess[str]:
        return run_process(tmp_path, *arguments, **environment)

    return run


class WorkersHere:
    """Workers in this process: one task after the other."""

    def __init__(self, _jobs):
        pass

    def spread(self, function, tasks, _limit_s):
        yield from enumerate(map(function, tasks))

    def close(self):
        pass


@pytest.fixture
def measuring_here(monkeypatch):
    """Pictures are measured in the process of the test."""
    monkeypatch.setattr("auditor.runs.run.Processes", WorkersHere)


def measured(folder, files, previews=None, *, store=None, jobs=1, **options):
    """The outcomes of pictures, as the steps of a command measure them."""
    with starting_run(jobs=jobs, store=store, **options) as run:
        return measure_all(folder, files, previews, run, lambda *_: None)


@pytest.fixture
def call_auditor(tmp_path, monkeypatch, capfd):
    """Run the command in an empty folder, all of it in the process of the test.

    It answers as `run_auditor` does, and much sooner. For tests of what is written and reported,
    not of processes.
    """

    def call(*arguments: object, **environment: str) -> subprocess.CompletedProcess[str]:
        words = ["auditor", *map(str, arguments)]
        with monkeypatch.context() as patch:
            patch.chdir(tmp_path)
            patch.setattr(sys, "argv", words)
            patch.setattr("auditor.runs.run.Processes", WorkersHere)
            patch.setattr(start, "answer_signals", lambda: None)  # they are for the tests to answer
            for name, value in environment.items():
                patch.setenv(name, value)
            capfd.readouterr()
            with pytest.raises(SystemExit) as leaving:
                start.main()
        written = capfd.readouterr()
        return subprocess.CompletedProcess(words, leaving.value.code, written.out, written.err)

    return call


@pytest.fixture(scope="session")
def demo(tmp_path_factory, worker_id):
    """The folder of the report that the README's first command makes; nobody may change it.

    All processes that run tests share it: the first that needs it makes it.
    """
    if worker_id == "master":  # there are no others
        return make_demo(tmp_path_factory.mktemp("demo"))
    folder = tmp_path_factory.getbasetemp().parent / "demo"
    made = folder / "report of the demo.txt"
    with FileLock(f"{folder}.lock"):
        if not made.is_file():
            shutil.rmtree(folder, ignore_errors=True)  # another process may have failed
            folder.mkdir()
            made.write_text(str(make_demo(folder)), encoding="utf-8")
    return Path(made.read_text(encoding="utf-8"))


def make_demo(folder):
    command = re.search(r"<!-- demo command -->\n```sh\n(.*?)\n```", README, re.DOTALL)
    assert command is not None
    words = command[1].split(".venv/bin/auditor ")[1].split()
    (folder / "fixtures").symlink_to(ROOT / "fixtures", target_is_directory=True)
    done = run_process(folder, *words, XDG_CACHE_HOME=str(folder / "cache"))
    assert done.returncode == 0, done.stderr
    return folder / words[words.index("--out") + 1]


@pytest.fixture(scope="session")
def record(demo):
    """The record in that folder; nobody may change it."""
    return json.loads((demo / "audit.json").read_text(encoding="utf-8"))


@pytest.fixture
def plan_of(tmp_path):
    """Read a plan from its text."""

    def read(text: str):
        path = tmp_path / "plan.toml"
        path.write_text(text, encoding="utf-8")
        return read_plan(path)

    return read


@pytest.fixture
def faults_of(tmp_path):
    """All faults of a plan given as text (or as bytes, or as a path)."""

    def read(written: str | bytes | Path) -> tuple[Fault, ...]:
        path = written if isinstance(written, Path) else tmp_path / "plan.toml"
        if isinstance(written, str):
            path.write_text(written, encoding="utf-8")
        elif isinstance(written, bytes):
            path.write_bytes(written)
        with pytest.raises(InvalidPlanError) as caught:
            read_plan(path)
        assert caught.value.file == str(path)
        return caught.value.faults

    return read


@pytest.fixture
def winter_citrus(plan_of):
    return plan_of(WINTER_CITRUS)
