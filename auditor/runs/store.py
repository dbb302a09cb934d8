"""Remember what was made of pictures between audits: measurements, small pictures, file facts.

Only the main process opens the file. What cannot be used does no harm: it is mentioned once, and
the audit goes on without it.
"""

from __future__ import annotations

import logging
import os
import sqlite3
import sys
import time
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from types import TracebackType

from auditor.runs.store_file import (
    BrokenStoreError,
    UnusableStoreError,
    is_damage,
    open_store,
    set_aside,
)
from auditor.safe_text import one_line

# About 4,000 pictures with what was tried on them (0.5 MB each); what has not been used for longest
# is then removed. Our choice, no source.
MOST_BYTES = 2_000_000_000
_LEFT_AFTER_REMOVING = 0.8  # of that size, so that not every audit has to remove something
_DAY_S = 86_400

_logger = logging.getLogger(__name__)


class Kept(StrEnum):
    """What is kept, each with a version of its own."""

    MEASURED = "measured"
    TRIED = "tried"
    PREVIEW = "preview"
    SMALL_PREVIEW = "small preview"
    CORRECTED = "corrected"
    EXAMINED = "examined"


@dataclass(frozen=True, slots=True)
class FileRow:
    """What is known of a file that has not changed.

    Attributes
    ----------
    sha256 : str
        Of its bytes.
    head : str
        What its head says, as JSON.
    """

    sha256: str
    head: str


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
    """Bytes by kind and name.

    Parameters
    ----------
    location : Path or None
        The file; None keeps nothing.
    versions : mapping of Kept to str
        Only what was kept under the same version is found again.
    files_version : str
        The same for what is known of files.
    most_bytes : int
        Size of the file above which what was not used for longest is removed.
    """

    def __init__(
        self,
        location: Path | None,
        versions: Mapping[Kept, str],
        files_version: str,
        most_bytes: int = MOST_BYTES,
    ) -> None:
        self._location = location
        self._versions, self._files_version, self._most_bytes = versions, files_version, most_bytes
        self._today = int(time.time() // _DAY_S)
        self._used: list[tuple[Kept, str]] = []
        self._has_healed = False
        self._number: tuple[int, int] | None = None  # of the open file
        self.remarks: list[
            str
        ] = []  # for the user, if something about the file is not as it should
        self._connection = None if location is None else self._opened(location)

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._close()

    @property
    def is_open(self) -> bool:
        """Whether anything is kept."""
        return self._connection is not None

    def get(self, kind: Kept, name: str) -> bytes | None:
        """What was kept under a name; None if there is nothing, or it is not what was kept."""
        row = self._row(
            "SELECT version, data, checksum FROM kept WHERE kind = ? AND name = ?", (kind, name)
        )
        if row is None or row[0] != self._versions[kind]:
            return None
        _, data, checksum = row
        if not isinstance(data, bytes) or zlib.crc32(data) != checksum:
            self._remark_once("Some of what is remembered was changed or damaged; it is made anew.")
            return None
        self._used.append((kind, name))
        return data

    def put(self, kind: Kept, name: str, data: bytes) -> None:
        """Keep bytes under a name, in place of what was there."""
        self._change(
            "INSERT OR REPLACE INTO kept VALUES (?, ?, ?, ?, ?, ?)",
            (kind, name, self._versions[kind], data, zlib.crc32(data), self._today),
        )

    def file_row(self, identity: str) -> FileRow | None:
        """What is known of the file with this identity."""
        row = self._row(
            "SELECT sha256, head FROM file WHERE identity = ? AND version = ?",
            (identity, self._files_version),
        )
        return None if row is None else FileRow(str(row[0]), str(row[1]))

    def has_file_of_size(self, n_bytes: int) -> bool:
        """Whether any known file has this size, so that another may be the same."""
        return self._row("SELECT 1 FROM file WHERE n_bytes = ? LIMIT 1", (n_bytes,)) is not None

    def put_file(self, identity: str, n_bytes: int, row: FileRow) -> None:
        """Keep what is known of a file."""
        self._change(
            "INSERT OR REPLACE INTO file VALUES (?, ?, ?, ?, ?, ?)",
            (identity, self._files_version, row.sha256, n_bytes, row.head, self._today),
        )

    def tidy(self) -> None:
        """Remove what other versions kept and, above the size limit, what is longest unused."""
        if self._connection is None:
            return
        if self._location is not None and _number_of(self._location) != self._number:
            self._close()
            self._remark("it was moved or removed during this run, which is not remembered")
            return
        try:
            with self._connection:
                self._connection.executemany(
                    "UPDATE kept SET used_day = ? WHERE kind = ? AND name = ? AND used_day < ?",
                    [(self._today, kind, name, self._today) for kind, name in self._used],
                )
            self._used.clear()
            removed = self._remove_other_versions(self._connection)
            removed += self._remove_oldest(self._connection)
            if removed:
                # As a script: a single call of `execute` would give back a single page.
                self._connection.executescript(
                    "PRAGMA incremental_vacuum; PRAGMA wal_checkpoint(TRUNCATE);"
                )
        except sqlite3.Error as error:  # it may be read-only, or locked by another audit
            self._give_up(error)

    def _remove_other_versions(self, connection: sqlite3.Connection) -> int:
        with connection:
            n = connection.execute(
                "DELETE FROM file WHERE version != ?", (self._files_version,)
            ).rowcount
            for kind, version in self._versions.items():
                n += connection.execute(
                    "DELETE FROM kept WHERE kind = ? AND version != ?", (kind, version)
                ).rowcount
        return n

    def _remove_oldest(self, connection: sqlite3.Connection) -> int:
        (n_pages,) = connection.execute("PRAGMA page_count").fetchone()
        (page_bytes,) = connection.execute("PRAGMA page_size").fetchone()
        excess = n_pages * page_bytes - self._most_bytes
        if excess <= 0:
            return 0
        to_free = excess + (1 - _LEFT_AFTER_REMOVING) * self._most_bytes
        found = connection.execute(
            "SELECT kind, name, used_day, length(data) FROM kept ORDER BY used_day, kind, name"
        )
        oldest, freed, last_day = [], 0, 0
        for kind, name, used_day, n_bytes in found:
            if freed >= to_free:
                break
            oldest.append((kind, name))
            freed, last_day = freed + n_bytes, used_day
        with connection:
            connection.executemany("DELETE FROM kept WHERE kind = ? AND name = ?", oldest)
            connection.execute("DELETE FROM file WHERE used_day < ?", (last_day,))
        return len(oldest)

    def _row(self, query: str, values: tuple[object, ...]) -> tuple[object, ...] | None:
        if self._connection is None:
            return None
        try:
            row: tuple[object, ...] | None = self._connection.execute(query, values).fetchone()
        except sqlite3.Error as error:
            self._give_up(error)
            return None
        return row

    def _change(self, query: str, values: tuple[object, ...]) -> None:
        if self._connection is None:
            return
        try:
            with self._connection:
                self._connection.execute(query, values)
        except sqlite3.Error as error:
            self._give_up(error)

    def _give_up(self, error: sqlite3.Error) -> None:
        """Go on without the file, or with a new one if it is damaged."""
        self._close()
        if self._location is None:
            return
        if is_damage(error) and not self._has_healed:
            self._connection = self._healed(self._location, "it is damaged")
        else:
            self._remark(f"nothing more is remembered in this run ({one_line(str(error))})")

    def _opened(self, location: Path) -> sqlite3.Connection | None:
        try:
            return self._open_at(location)
        except BrokenStoreError as error:
            return self._healed(location, str(error))
        except UnusableStoreError as error:
            self._remark(f"nothing is remembered in this run ({one_line(str(error))})")
            return None

    def _open_at(self, location: Path) -> sqlite3.Connection:
        connection = open_store(location)
        self._number = _number_of(location)
        return connection

    def _healed(self, location: Path, why: str) -> sqlite3.Connection | None:
        """A new file in place of one that cannot be used, which is kept beside."""
        self._has_healed = True
        try:
            aside = set_aside(location)
            connection = self._open_at(location)
        except (OSError, BrokenStoreError, UnusableStoreError) as error:
            self._remark(f"nothing is remembered in this run ({why}: {one_line(str(error))})")
            return None
        self._remark(f"{why}, so a new one is begun; the old one is now {one_line(aside.name)}")
        return connection

    def _remark(self, text: str) -> None:
        where = "" if self._location is None else one_line(str(self._location))
        self._remark_once(f"{where}: {text}.")

    def _remark_once(self, text: str) -> None:
        if text not in self.remarks:
            self.remarks.append(text)
            _logger.warning("%s", text)

    def _close(self) -> None:
        if self._connection is not None:
            self._connection.close()
            self._connection = None


def _number_of(path: Path) -> tuple[int, int] | None:
    """By which the system knows a file, whatever its name; None if there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino
