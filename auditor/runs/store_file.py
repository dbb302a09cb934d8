"""The SQLite file in which what was made of pictures is kept: opening it, and healing it."""

from __future__ import annotations

import os
import sqlite3
from contextlib import suppress
from pathlib import Path

# Two audits at once may wait for each other this long, once. What one of them writes takes
# thousandths of a second, so whoever holds the file longer will not give it back soon. No source.
LOCK_WAIT_S = 2.0
FORMAT = 1  # of the tables below; a file with another is emptied, since all in it can be made again
APPLICATION_ID = 0x41554449  # says in the file's head whose it is; our own choice

_TABLES = """
CREATE TABLE IF NOT EXISTS kept (
    kind TEXT NOT NULL, name TEXT NOT NULL, version TEXT NOT NULL, data BLOB NOT NULL,
    checksum INTEGER NOT NULL, used_day INTEGER NOT NULL, PRIMARY KEY (kind, name)
) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS file (
    identity TEXT PRIMARY KEY, version TEXT NOT NULL, sha256 TEXT NOT NULL,
    n_bytes INTEGER NOT NULL, head TEXT NOT NULL, used_day INTEGER NOT NULL
) WITHOUT ROWID;
CREATE INDEX IF NOT EXISTS file_by_size ON file (n_bytes);
"""
# Tables of earlier versions of this file, which had no application id.
_EARLIER_TABLES = frozenset(("measurement", "result"))
# Added to the file's name: what SQLite may leave beside it, and the name of one that was set aside.
BESIDE = ("-journal", "-wal", "-shm")
SET_ASIDE = ".set-aside"


class UnusableStoreError(Exception):
    """The file cannot be used; the message says why, for a person."""


class BrokenStoreError(Exception):
    """The file is damaged or belongs to another program; the message says which."""


def open_store(location: Path) -> sqlite3.Connection:
    """Open the file, made where it does not exist, for this user alone.

    Raises
    ------
    BrokenStoreError
        It is damaged, or it is a file of another program.
    UnusableStoreError
        It cannot be read or written, or another program holds it.
    """
    try:
        location.parent.mkdir(parents=True, exist_ok=True)
        # Small pictures are kept in it, which other users must not see.
        os.close(os.open(location, os.O_CREAT | os.O_RDWR, 0o600))
        connection = sqlite3.connect(location, timeout=LOCK_WAIT_S)
    except (OSError, sqlite3.Error) as error:
        raise UnusableStoreError(reason_of(error)) from error
    try:
        _prepare(connection)
    except BaseException:
        connection.close()
        raise
    return connection


def is_damage(error: sqlite3.Error) -> bool:
    """True if an error means that the file's contents are not what SQLite wrote."""
    return isinstance(error, sqlite3.DatabaseError) and not isinstance(
        error, sqlite3.OperationalError | sqlite3.IntegrityError | sqlite3.ProgrammingError
    )


def set_aside(location: Path) -> Path:
    """Rename a file that cannot be used, so that a new one can take its place.

    Returns
    -------
    Path
        Where it is now. What was set aside before is replaced.

    Raises
    ------
    OSError
        It cannot be renamed.
    """
    place = location.with_name(location.name + SET_ASIDE)
    location.replace(place)
    for suffix in BESIDE:
        with suppress(OSError):
            location.with_name(location.name + suffix).unlink(missing_ok=True)
    return place


def _prepare(connection: sqlite3.Connection) -> None:
    try:
        _refuse_foreign(connection)
        # One writer and many readers at once, and one write to the disk for each change.
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = NORMAL")
        with connection:
            connection.executescript(_TABLES)
    except sqlite3.Error as error:
        if is_damage(error):
            raise BrokenStoreError("it is damaged") from error
        raise UnusableStoreError(reason_of(error)) from error


def _refuse_foreign(connection: sqlite3.Connection) -> None:
    """Raise if the file is another program's; empty it if it is of another format."""
    (owner,) = connection.execute("PRAGMA application_id").fetchone()
    (file_format,) = connection.execute("PRAGMA user_version").fetchone()
    if (owner, file_format) == (APPLICATION_ID, FORMAT):
        return
    found = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
    )
    tables = {str(name) for (name,) in found}
    if owner != APPLICATION_ID and (owner or tables - _EARLIER_TABLES):
        raise BrokenStoreError("it belongs to another program")
    with connection:
        for table in tables:
            quoted = table.replace('"', '""')
            connection.execute(f'DROP TABLE "{quoted}"')
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {FORMAT}")
    # Room that becomes free is given back to the disk without writing the whole file anew.
    connection.execute("PRAGMA auto_vacuum = INCREMENTAL")
    connection.execute("VACUUM")


def reason_of(error: Exception) -> str:
    """Why the file cannot be used, in words for a person."""
    if isinstance(error, OSError):
        return error.strerror or str(error)
    if "locked" in str(error) or "busy" in str(error):
        return "another program holds it"
    return str(error)
