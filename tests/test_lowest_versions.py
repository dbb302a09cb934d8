"""The oldest versions are declared once, and `tests/lowest_versions.py` finds all of them."""

import subprocess
import sys
import tomllib

import pytest

from tests.conftest import ROOT
from tests.lowest_versions import PYPROJECT, lowest_versions


def project():
    return tomllib.loads(PYPROJECT.read_text(encoding="utf-8"))["project"]


def test_each_requirement_of_the_program_and_its_tests_has_a_constraint():
    done = subprocess.run(
        [sys.executable, "-I", ROOT / "tests" / "lowest_versions.py"],
        capture_output=True,
        text=True,
        check=True,
    )
    names = [line.partition("==")[0] for line in done.stdout.splitlines()]
    extras = project()["optional-dependencies"]
    wanted = [*project()["dependencies"], *extras["cluster"], *extras["heif"], *extras["test"]]
    assert sorted(names) == sorted({one.partition(">=")[0] for one in wanted})


def test_the_oldest_version_is_what_is_written():
    written = {"dependencies": ["one>=1.2", "two-parts>=3"], "optional-dependencies": {}}
    assert lowest_versions(written) == {"one": "1.2", "two-parts": "3"}


@pytest.mark.parametrize("requirement", ["one", "one==1.2", "one>=1.2,<2", "one>1.2", "one>=1.*"])
def test_a_requirement_without_an_oldest_version_is_refused(requirement):
    with pytest.raises(ValueError, match="name>=version"):
        lowest_versions({"dependencies": [requirement], "optional-dependencies": {}})


def test_two_oldest_versions_of_one_library_are_refused():
    written = {"dependencies": ["one>=1"], "optional-dependencies": {"test": ["one>=2"]}}
    with pytest.raises(ValueError, match="from 1 on or from 2 on"):
        lowest_versions(written)
