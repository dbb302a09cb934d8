"""Remember measurements between audits, in one SQLite file."""

from __future__ import annotations

import os
import sqlite3
import sys
from pathlib import Path
from types import TracebackType

LOCK_WAIT_S = 10.0  # two audits at once may wait for each other this long

_TABLE = """
CREATE TABLE IF NOT EXISTS measurement (
    picture TEXT, code_version TEXT, text TEXT, PRIMARY KEY (picture, code_version)
)
"""
# Earlier versions of this file kept picture and version of the code in one column of this table.
_EARLIER_TABLE = "result"


def default_location() -> Path:
    """Where this user's programs keep files that can be made again."""
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA") or str(Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = str(Path.home() / "Library" / "Caches")
    else:
        base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(base) / "auditor" / "measurements.sqlite"


class Store:
    """Texts by picture; a store that cannot be used remembers nothing and does no harm.

    Parameters
    ----------
    location : Path or None
        The file; None keeps nothing.
    code_version : str
        Only texts that were kept under the same version are found again.
    """

    def __init__(self, location: Path | None, code_version: str) -> None:
        self._connection = None if location is None else _open(location)
        self._code_version = code_version

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._close()

    def get(self, picture: str) -> str | None:
        """The text kept for a picture; None if there is none."""
        if self._connection is None:
            return None
        try:
            row = self._connection.execute(
                "SELECT text FROM measurement WHERE picture = ? AND code_version = ?",
                (picture, self._code_version),
            ).fetchone()
        except sqlite3.Error:
            return None
        return None if row is None else str(row[0])

    def put(self, picture: str, text: str) -> None:
        """Keep a text for a picture, in place of the one that was there."""
        if self._connection is None:
            return
        try:
            with self._connection:
                self._connection.execute(
                    "INSERT OR REPLACE INTO measurement VALUES (?, ?, ?)",
                    (picture, self._code_version, text),
                )
        except sqlite3.Error:
            self._close()

    def remove_other_versions(self) -> None:
        """Remove what other versions of the code have kept, and give its room back to the disk."""
        if self._connection is None:
            return
        try:
            with self._connection:
                removed = self._connection.execute(
                    "DELETE FROM measurement WHERE code_version != ?", (self._code_version,)
                ).rowcount
            had_earlier = self._connection.execute(
                "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?", (_EARLIER_TABLE,)
            ).fetchone()
            if had_earlier:
                self._connection.execute(f"DROP TABLE {_EARLIER_TABLE}")
            if removed or had_earlier:
                self._connection.execute("VACUUM")
        except sqlite3.Error:
            self._close()  # it may be read-only, or locked by another audit

    def _close(self) -> None:
        if self._connection is not None:
            self._connection.close()
            self._connection = None


def _open(location: Path) -> sqlite3.Connection | None:
    try:
        location.parent.mkdir(parents=True, exist_ok=True)
        connection = sqlite3.connect(location, timeout=LOCK_WAIT_S)
    except (OSError, sqlite3.Error):
        return None
    try:
        with connection:
            connection.execute(_TABLE)
    except sqlite3.Error:
        connection.close()
        return None
    return connection
