"""Marks for tests of what some systems cannot do, each with its reason; Linux skips none."""

import sys

import pytest

WINDOWS = sys.platform == "win32"
NAMES_ARE_TEXT = sys.platform in {"win32", "darwin"}

# No file there can have a name that is not text.
names_are_bytes = pytest.mark.skipif(NAMES_ARE_TEXT, reason="here every name is Unicode text")
# No file there can have such a name.
any_name = pytest.mark.skipif(WINDOWS, reason="Windows forbids colons and controls in names")
# There are no pipes and devices among the files there.
special_files = pytest.mark.skipif(WINDOWS, reason="Windows has no pipes and devices with a path")
# Ctrl-C cannot be sent there as a terminal sends it, to a process and its workers.
interruptible = pytest.mark.skipif(WINDOWS, reason="Windows has no process groups to interrupt")
