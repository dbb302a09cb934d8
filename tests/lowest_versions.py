"""Prints the oldest versions that `pyproject.toml` allows, as constraints that pip understands.

    python tests/lowest_versions.py >lowest.txt
    pip install -c lowest.txt '.[test]'

It needs nothing but Python, so that it can be run before anything is installed.
"""

from __future__ import annotations

import re
import sys
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

PYPROJECT = Path(__file__).parent.parent / "pyproject.toml"
# Every requirement is written like this: a name and the oldest version.
REQUIREMENT = re.compile(r"([A-Za-z0-9][A-Za-z0-9._-]*)>=([0-9]+(?:\.[0-9]+)*)")
NOT_FOR_THE_PROGRAM = ("render", "train")  # extras that neither the program nor its tests need


def lowest_versions(project: Mapping[str, Any]) -> dict[str, str]:
    """Name and oldest version of every requirement of the program, its extras and its tests.

    Raises
    ------
    ValueError
        A requirement is written in another way, or its oldest version differs between two extras.
    """
    lowest: dict[str, str] = {}
    for requirement in _requirements(project):
        written = REQUIREMENT.fullmatch(requirement)
        if written is None:
            raise ValueError(f"{requirement}: write it as “name>=version”.")
        name, version = written.groups()
        if lowest.setdefault(name, version) != version:
            raise ValueError(f"{name}: from {lowest[name]} on or from {version} on?")
    return lowest


def _requirements(project: Mapping[str, Any]) -> Iterator[str]:
    yield from project["dependencies"]
    for extra, requirements in project["optional-dependencies"].items():
        if extra not in NOT_FOR_THE_PROGRAM:
            yield from requirements


if __name__ == "__main__":
    read = tomllib.loads(PYPROJECT.read_text(encoding="utf-8"))["project"]
    for name, version in lowest_versions(read).items():
        sys.stdout.write(f"{name}=={version}\n")
