"""Every library that is installed with the program stands with its licence in DEVELOPERS.md."""

import re
import tomllib
from importlib.metadata import Distribution, distribution

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.conftest import ROOT

DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
SECTION = DEVELOPERS.split("## Libraries and their licences\n")[1].split("\n## ")[0]
ROWS = {
    cells[0]: cells[1:]
    for line in SECTION.splitlines()
    if line.startswith("| ") and len(cells := line.strip("| ").split(" | ")) >= 2
}
EXTRAS = ("heif", "cluster")
# How libraries whose metadata has no licence expression name the licence of the table.
OTHER_NAMES = {
    "Apache-2.0": "Apache",
    "BSD-2-Clause": "BSD",
    "BSD-3-Clause": "BSD",
    "PSF-2.0": "PSF|Python Software Foundation",
    "ISC": "ISC",
}


def needed():
    """Everything that is installed with the program and its extras, as names on the index."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    waiting = [*project["dependencies"]]
    for extra in EXTRAS:
        waiting += project["optional-dependencies"][extra]
    found = set()
    while waiting:
        wanted = Requirement(waiting.pop())
        extras = ("", *wanted.extras)
        if wanted.marker and not any(wanted.marker.evaluate({"extra": one}) for one in extras):
            continue
        name = canonicalize_name(wanted.name)
        if name not in found:
            found.add(name)
            # What an extra of a library needs is found when the library is first met.
            waiting += (
                one
                for one in distribution(name).requires or ()
                if (marker := Requirement(one).marker) is None
                or any(marker.evaluate({"extra": extra}) for extra in extras)
            )
    return sorted(found)


def licence_texts(library: Distribution):
    """Of its own code and of what lies beside it in its wheel."""
    for file in library.files or ():
        if ".dist-info" in file.parts[0] and re.search(r"(?i)licen[cs]e|copying", file.name):
            yield file.read_text(encoding="utf-8")


def test_no_library_is_missing_in_the_table():
    assert set(needed()) - set(ROWS) == set()


@pytest.mark.parametrize("name", needed())
def test_the_licence_is_what_the_library_says(name):
    said = distribution(name).metadata
    expression = said.get("License-Expression")
    row = ROWS[name]
    if expression:
        words = set(re.findall(r"[\w.-]+", expression)) - {"AND", "OR", "WITH"}
        assert words <= set(re.findall(r"[\w.-]+", " ".join(row)))
    else:
        texts = [said.get("License") or "", *(said.get_all("Classifier") or ())]
        first = row[0].partition(" OR ")[0]
        assert re.search(OTHER_NAMES.get(first, first), "\n".join(texts))


@pytest.mark.parametrize("name", needed())
def test_a_wheel_that_holds_something_under_the_gpl_says_so(name):
    texts = list(licence_texts(distribution(name)))
    if any(re.search(r"^License.*GPL", text, re.MULTILINE) for text in texts):
        assert "GPL" in " ".join(ROWS[name][1:])
