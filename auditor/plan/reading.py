"""Read a plan from TOML and tell every fault in it at once."""

from __future__ import annotations

from pathlib import Path

from auditor.plan.shot_plan import Plan


def read_plan(path: Path) -> Plan:
    """Read a plan.

    Raises
    ------
    InvalidPlanError
        With every fault in the file, each with its key and line.
    """
    raise NotImplementedError
