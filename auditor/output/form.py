"""What may lie in the folder in which a report or a sheet is made, so that it can be removed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

# Hidden, so that a folder of pictures that holds a report does not count it among them.
WORK_PREFIX = ".in-work-"


@dataclass(frozen=True, slots=True)
class Form:
    """What may lie in the folder in which something is made.

    Attributes
    ----------
    what : str
        What is made, for messages: ``"report"``.
    files : frozenset of str
        Names of its files.
    folders : mapping of str to callable
        Names of its folders, each with a function that says of a name in it whether it is ours.
    first, last : str
        Names of the parts that earlier versions put in place first and last.
    """

    what: str
    files: frozenset[str]
    folders: Mapping[str, Callable[[str], bool]]
    first: str
    last: str

    @property
    def parts(self) -> frozenset[str]:
        """Names of all that can be put in place."""
        return self.files | self.folders.keys()

    def holds_only_ours(self, folder: Path) -> bool:
        """Whether nothing in a folder, or among its pictures, could be somebody else's."""
        return all(self.is_ours(entry) for entry in folder.iterdir())

    def is_ours(self, entry: Path) -> bool:
        """Whether a file is named as ours, or a folder holds only files that are."""
        if entry.is_symlink():
            return False
        if entry.is_file():
            return _finished_name(entry.name) in self.files
        is_ours = self.folders.get(entry.name)
        return is_ours is not None and all(
            is_ours(_finished_name(one.name)) and one.is_file() and not one.is_symlink()
            for one in entry.iterdir()
        )


def _finished_name(name: str) -> str:
    """The name that a file would have had: it is written as ``name.part`` or ``.name.part``."""
    stem = name.removesuffix(".part")
    return name if stem == name else stem.removeprefix(".")
