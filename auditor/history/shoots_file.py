"""The SQLite file of remembered shoots: opening it safely, and telling it from other files."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from auditor.errors import ShootsUnreadableError

SHOOTS_FILE = "shoots.sqlite"
LOCK_WAIT_S = 5.0  # another audit writes for a few thousandths of a second
APPLICATION_ID = 0x61756474  # says in the file's head which program's it is
FORMAT = 1

_TABLES = """
CREATE TABLE shoot (
    id INTEGER PRIMARY KEY, place TEXT NOT NULL, title TEXT NOT NULL, day TEXT NOT NULL,
    is_day_taken INTEGER NOT NULL, n_pictures INTEGER NOT NULL, audited TEXT NOT NULL
);
CREATE TABLE picture (
    shoot INTEGER NOT NULL, fingerprint TEXT NOT NULL, PRIMARY KEY (shoot, fingerprint)
);
CREATE TABLE intent (
    shoot INTEGER NOT NULL, quantity TEXT NOT NULL, met INTEGER NOT NULL, close INTEGER NOT NULL,
    missed INTEGER NOT NULL, undecided INTEGER NOT NULL, PRIMARY KEY (shoot, quantity)
);
CREATE TABLE deviation (
    shoot INTEGER NOT NULL, quantity TEXT NOT NULL, axis TEXT NOT NULL, n INTEGER NOT NULL,
    mean REAL NOT NULL, spread REAL, PRIMARY KEY (shoot, quantity, axis)
)
"""


def shoots_beside(measurements: Path) -> Path:
    """Where shoots are remembered, by where measurements are."""
    return measurements.with_name(SHOOTS_FILE)


@contextmanager
def writing_to(location: Path) -> Iterator[sqlite3.Connection]:
    """The file with its tables, made where it is missing; all is written at the end, or nothing.

    Raises
    ------
    ShootsUnreadableError
        If the file cannot be used; it is then unchanged.
    """
    try:
        location.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise ShootsUnreadableError(str(location), error.strerror or str(error)) from error
    with _connected(location) as connection:
        connection.execute("BEGIN IMMEDIATE")
        if not _is_ours(connection, location):
            _make_tables(connection)
        yield connection
        connection.execute("COMMIT")


@contextmanager
def reading_from(location: Path) -> Iterator[sqlite3.Connection | None]:
    """The same to read from; None where nothing was ever written.

    Raises
    ------
    ShootsUnreadableError
        If the file cannot be read, or holds something else.
    """
    try:
        is_there = location.exists()
    except OSError as error:
        raise ShootsUnreadableError(str(location), error.strerror or str(error)) from error
    if not is_there:
        yield None
        return
    with _connected(location) as connection:
        connection.execute("BEGIN")
        yield connection if _is_ours(connection, location) else None


@contextmanager
def _connected(location: Path) -> Iterator[sqlite3.Connection]:
    try:
        connection = sqlite3.connect(location, timeout=LOCK_WAIT_S, isolation_level=None)
    except sqlite3.Error as error:
        raise ShootsUnreadableError(str(location), str(error)) from error
    try:
        yield connection
    except sqlite3.Error as error:
        raise ShootsUnreadableError(str(location), str(error)) from error
    finally:
        connection.close()  # what was not committed is undone


def _is_ours(connection: sqlite3.Connection, location: Path) -> bool:
    """Whether the tables are there; refuses the file of another program or version."""
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    (n_tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    if not n_tables and not application:
        return False
    if application != APPLICATION_ID:
        raise ShootsUnreadableError(str(location), "another program wrote it")
    if version != FORMAT:
        raise ShootsUnreadableError(
            str(location), f"it has format {version}, and this auditor reads {FORMAT}"
        )
    return True


def _make_tables(connection: sqlite3.Connection) -> None:
    for statement in _TABLES.split(";"):
        connection.execute(statement)
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {FORMAT}")
