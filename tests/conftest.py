"""What several tests share."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from auditor.errors import Fault, InvalidPlanError
from auditor.plan.reading import read_plan
from tests.plan_files import WINTER_CITRUS

ROOT = Path(__file__).parent.parent


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


@pytest.fixture
def run_auditor(tmp_path):
    """Run the command as a person does, in an empty folder."""

    def run(*arguments: object, **environment: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "auditor", *map(str, arguments)],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
            capture_output=True,
            text=True,
            check=False,
            timeout=300,
        )

    return run


@pytest.fixture(scope="session")
def demo(tmp_path_factory):
    """The folder of the report that the command makes of the demo series; nobody may change it."""
    out = tmp_path_factory.mktemp("demo")
    done = subprocess.run(
        [
            *(sys.executable, "-m", "auditor", "audit", "fixtures/teahouse"),
            *("--plan", "fixtures/teahouse/plan.toml", "--out", str(out), "--fresh"),
        ],
        cwd=ROOT,
        env={**os.environ, "XDG_CACHE_HOME": str(tmp_path_factory.mktemp("demo-cache"))},
        capture_output=True,
        text=True,
        check=False,
        timeout=600,
    )
    assert done.returncode == 0, done.stderr
    return out


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
