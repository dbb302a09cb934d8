from __future__ import annotations

from pathlib import Path

import pytest

from auditor.errors import Fault, InvalidPlanError
from auditor.plan.reading import read_plan

# As published: this plan must load and mean what it says.
WINTER_CITRUS = """\
title = "Winter citrus at the hillside teahouse"

[series]                                   # holds for every shot that does not say otherwise
aspect_ratio = "4:5"
light = { from = "back left" }             # or { clock = 10.5 }
colour_temperature = { kelvin = 6000 }     # of the finished picture's neutrals
palette = ["#e08a1e", "#2f4a3c", "#d8d2c4"]
background = ["#cfc7b6"]                   # what stands behind
surface = ["#6f6a63"]                      # what the food stands on

[[shot]]
name = "kettle and clementines"
files = ["*kettle*"]
technique = "rule of thirds"
subject = { at = "upper right", size = 0.2 }
supporting = [ { name = "honey jar", at = [0.30, 0.70] }, { name = "cloth", at = "lower left" } ]
camera_elevation = 45
negative_space = { fraction = 0.45, side = "left" }
diagonal = "rising"

[tolerance]                                # optional: replaces the defaults
subject = 0.06
"""


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
