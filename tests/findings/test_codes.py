"""The registry of findings and its table in the README."""

import re
from pathlib import Path

from auditor.findings.codes import BREAKING, MEANINGS

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


def test_the_manual_explains_every_code_as_the_registry_does():
    section = README.split("## What needs attention")[1].split("\n## ")[0]
    rows = re.findall(r"^\| `(\w+)` \| (.*?) \| (yes)? ?\|$", section, re.MULTILINE)
    assert rows == [
        (code.value, meaning, "yes" if code in BREAKING else "")
        for code, meaning in MEANINGS.items()
    ]
