"""Remember results between runs, in one SQLite file."""

from __future__ import annotations

import os
import sqlite3
import sys
from pathlib import Path
from types import TracebackType

LOCK_WAIT_S = 10.0  # two audits at once may wait for each other this long


def default_location() -> Path:
    """Where this user's programs keep what can be made again."""
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA") or str(Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = str(Path.home() / "Library" / "Caches")
    else:
        base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(base) / "auditor" / "measurements.sqlite"


class Store:
    """Texts by key; a store that cannot be used forgets everything and harms nothing.

    Parameters
    ----------
    location : Path or None
        The file; None keeps nothing.
    """

    def __init__(self, location: Path | None) -> None:
        self._connection = None if location is None else _open(location)

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._connection is not None:
            self._connection.close()

    def get(self, key: str) -> str | None:
        """What was kept under a key; None where nothing was."""
        if self._connection is None:
            return None
        try:
            row = self._connection.execute(
                "SELECT text FROM result WHERE key = ?", (key,)
            ).fetchone()
        except sqlite3.Error:
            return None
        return None if row is None else str(row[0])

    def put(self, key: str, text: str) -> None:
        """Keep a text under a key, in place of what was there."""
        if self._connection is None:
            return
        try:
            with self._connection:
                self._connection.execute("INSERT OR REPLACE INTO result VALUES (?, ?)", (key, text))
        except sqlite3.Error:
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
            connection.execute(
                "CREATE TABLE IF NOT EXISTS result (key TEXT PRIMARY KEY, text TEXT)"
            )
    except sqlite3.Error:
        connection.close()
        return None
    return connection
