"""Patterns that name one picture each, for a plan."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from auditor.plan.file_patterns import same_letters


def patterns_for(files: Sequence[str], all_files: Sequence[str]) -> list[str]:
    """A pattern for each of some pictures: its name, with its folder where another has the name.

    Parameters
    ----------
    files : sequence of str
        Relative paths with ``/``.
    all_files : sequence of str
        All pictures of the folder.
    """
    names = Counter(same_letters(_name(file)) for file in all_files)
    return [
        _as_pattern(file if names[same_letters(_name(file))] > 1 else _name(file)) for file in files
    ]


def _name(file: str) -> str:
    return file.rpartition("/")[2]


def _as_pattern(name: str) -> str:
    """A name as a pattern: ``?`` stands for what a pattern cannot have, blanks around it too."""
    middle = name.strip()
    before = name.index(middle) if middle else 0
    after = len(name) - before - len(middle)
    return "?" * before + middle.replace("\\", "?") + "?" * after
