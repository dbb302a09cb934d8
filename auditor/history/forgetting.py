"""Remove what is remembered, and say how much it was."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from auditor.errors import UnusableArgumentError
from auditor.runs.store_file import BESIDE, SET_ASIDE

Remembered = Literal["shoots", "measurements"]

_COUNTED: dict[Remembered, str] = {
    "shoots": "SELECT count(*) FROM shoot",
    # One picture may be measured with and without its camera's area; the digest comes first.
    "measurements": "SELECT count(DISTINCT substr(name, 1, 64)) FROM kept WHERE kind = 'measured'",
}
_WAIT_S = 1.0


@dataclass(frozen=True, slots=True)
class Forgotten:
    """What was removed.

    Attributes
    ----------
    what : str
    n : int or None
        How many shoots, or measured pictures; None if the file could not be read.
    n_bytes : int
        Size of the files; 0 if there were none.
    is_there : bool
        Whether there was anything to remove.
    """

    what: Remembered
    n: int | None
    n_bytes: int
    is_there: bool


def forget(what: Remembered, location: Path) -> Forgotten:
    """Remove a file of remembered things, whatever is in it.

    Raises
    ------
    UnusableArgumentError
        If it cannot be removed.
    """
    suffixes = ("", *BESIDE, SET_ASIDE)
    files = [location.with_name(location.name + suffix) for suffix in suffixes]
    try:
        there = [file for file in files if os.path.lexists(file)]
        n_bytes = sum(file.lstat().st_size for file in there)
        n = _number(what, location)  # SQLite may already remove what a crash left
        for file in there:
            file.unlink(missing_ok=True)
    except OSError as error:
        raise UnusableArgumentError(
            f"{location}: cannot be removed ({error.strerror or error}). Close other programs that "
            "use it, or remove it by hand."
        ) from error
    return Forgotten(what, n, n_bytes, bool(there))


def _number(what: Remembered, location: Path) -> int | None:
    if not location.is_file():
        return None
    try:
        with closing(sqlite3.connect(location, timeout=_WAIT_S)) as connection:
            (n,) = connection.execute(_COUNTED[what]).fetchone()
    except sqlite3.Error:
        return None
    return int(n)
