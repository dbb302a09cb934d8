"""Patterns that name one picture each, for a plan."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from auditor.plan.file_patterns import same_letters
from auditor.safe_text import file_pattern


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
        file_pattern(file if names[same_letters(_name(file))] > 1 else _name(file))
        for file in files
    ]


def _name(file: str) -> str:
    return file.rpartition("/")[2]
