"""Remember shoots in one SQLite file, beside the file of remembered measurements.

It is a file of its own: measurements are made again whenever they are lost, and those of other
versions are removed, but a shoot that is lost stays lost, and damage to one file leaves the other
whole.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from math import isfinite
from pathlib import Path

from auditor.errors import ShootsUnreadableError
from auditor.history.shoot import (
    AXES,
    Deviation,
    KeptIntent,
    Shoot,
    fingerprints,
    place_of,
    shoot_of,
)
from auditor.history.shoots_file import reading_from, writing_to
from auditor.quantities import PLANNED
from auditor.record.audit_record import AuditRecord

# From this share of the pictures on, of the smaller of two audits, they are of one shoot.
SAME_SHOOT_SHARE = 0.5

_REMOVE_PARTS = (
    "DELETE FROM picture WHERE shoot = ?",
    "DELETE FROM intent WHERE shoot = ?",
    "DELETE FROM deviation WHERE shoot = ?",
)


@dataclass(frozen=True, slots=True)
class _Known:
    """A shoot that is remembered, beside a new audit."""

    key: int
    n_pictures: int
    n_shared: int
    is_same_place: bool
    has_plan: bool

    def is_same(self, n_new: int) -> bool:
        """Whether the new audit is of the same shoot, or of a part of it."""
        fewer = max(1, min(self.n_pictures, n_new))
        return self.is_same_place or self.n_shared >= SAME_SHOOT_SHARE * fewer


def remember_shoot(location: Path, record: AuditRecord, folder: Path) -> bool:
    """Remember an audit in place of the earlier ones of the same shoot.

    Two audits are of one shoot if they share at least half of the pictures of the smaller one, or
    if folder, planned shots and day are the same, however the pictures were edited. An audit of a
    small part of a remembered shoot, or of several remembered shoots together, is not remembered,
    nor does one without a plan replace one with a plan.

    Parameters
    ----------
    location : Path
        The file; made where it does not exist.
    record : AuditRecord
    folder : Path
        Of the pictures.

    Returns
    -------
    bool
        Whether it is remembered.

    Raises
    ------
    ShootsUnreadableError
        If the file cannot be used; it is then unchanged.
    """
    shoot, pictures = shoot_of(record), fingerprints(record)
    if not shoot.intents and record.kind is not None and record.kind.kind != "set":
        return False  # a portfolio, or a single picture: no shoot
    place = place_of(record, folder)
    with writing_to(location) as connection:
        known = [
            one for one in _known(connection, shoot, pictures, place) if one.is_same(len(pictures))
        ]
        if not _may_replace(known, shoot, len(pictures)):
            return False
        for one in known:
            _remove(connection, one.key)
        _insert(connection, shoot, pictures, place, record.created)
    return True


def read_shoots(location: Path) -> tuple[Shoot, ...]:
    """All shoots that are remembered, in the order of their days.

    Raises
    ------
    ShootsUnreadableError
        If the file cannot be read, or holds something else.
    """
    with reading_from(location) as connection:
        if connection is None:
            return ()
        rows = connection.execute(
            "SELECT id, title, day, is_day_taken, n_pictures FROM shoot ORDER BY day, audited, id"
        ).fetchall()
        try:
            return tuple(
                Shoot(str(title), str(day), bool(taken), int(n), tuple(_intents(connection, key)))
                for key, title, day, taken, n in rows
            )
        except (TypeError, ValueError, OverflowError) as error:
            raise ShootsUnreadableError(str(location), str(error)) from error


def _may_replace(known: list[_Known], shoot: Shoot, n_pictures: int) -> bool:
    """Whether a new audit says more of its shoot than what is remembered of it."""
    if sum(one.n_shared > 0 for one in known) > 1 and not any(one.is_same_place for one in known):
        return False  # several shoots together
    return all(
        (shoot.intents or not one.has_plan)
        and (one.is_same_place or n_pictures >= SAME_SHOOT_SHARE * one.n_pictures)
        for one in known
    )


def _known(
    connection: sqlite3.Connection, shoot: Shoot, pictures: frozenset[str], place: str
) -> list[_Known]:
    found = []
    rows = connection.execute("SELECT id, place, day, is_day_taken FROM shoot").fetchall()
    for key, its_place, day, is_day_taken in rows:
        is_other_day = is_day_taken and shoot.is_day_taken and day != shoot.day
        theirs = {
            str(one)
            for (one,) in connection.execute(
                "SELECT fingerprint FROM picture WHERE shoot = ?", (key,)
            )
        }
        has_plan = connection.execute("SELECT 1 FROM intent WHERE shoot = ?", (key,)).fetchone()
        found.append(
            _Known(
                key,
                len(theirs),
                len(theirs & pictures),
                bool(place) and its_place == place and not is_other_day,
                has_plan is not None,
            )
        )
    return found


def _remove(connection: sqlite3.Connection, key: int) -> None:
    for statement in _REMOVE_PARTS:
        connection.execute(statement, (key,))
    connection.execute("DELETE FROM shoot WHERE id = ?", (key,))


def _insert(
    connection: sqlite3.Connection,
    shoot: Shoot,
    pictures: frozenset[str],
    place: str,
    audited: str,
) -> None:
    values = (place, shoot.title, shoot.day, shoot.is_day_taken, shoot.n_pictures, audited)
    key = connection.execute(
        "INSERT INTO shoot (place, title, day, is_day_taken, n_pictures, audited)"
        " VALUES (?, ?, ?, ?, ?, ?)",
        tuple(_text(value) for value in values),
    ).lastrowid
    connection.executemany(
        "INSERT INTO picture VALUES (?, ?)", [(key, one) for one in sorted(pictures)]
    )
    for intent in shoot.intents:
        counts = (intent.met, intent.close, intent.missed, intent.undecided)
        connection.execute(
            "INSERT INTO intent VALUES (?, ?, ?, ?, ?, ?)", (key, intent.quantity, *counts)
        )
        connection.executemany(
            "INSERT INTO deviation VALUES (?, ?, ?, ?, ?, ?)",
            [
                (key, intent.quantity, one.axis, one.n, one.mean, one.spread)
                for one in intent.deviations
            ],
        )


def _text(value: object) -> object:
    """Text that SQLite can hold: names of files may have bytes that are no text."""
    return value.encode("utf-8", "replace").decode() if isinstance(value, str) else value


def _intents(connection: sqlite3.Connection, key: int) -> Iterator[KeptIntent]:
    """The intents of a shoot; what another version wrote of quantities unknown here is left out."""
    rows = {
        str(quantity): [int(n) for n in counts]
        for quantity, *counts in connection.execute(
            "SELECT quantity, met, close, missed, undecided FROM intent WHERE shoot = ?", (key,)
        )
    }
    deviations = {
        (str(quantity), str(axis)): Deviation(
            str(axis), int(n), _finite(mean), None if spread is None else _finite(spread)
        )
        for quantity, axis, n, mean, spread in connection.execute(
            "SELECT quantity, axis, n, mean, spread FROM deviation WHERE shoot = ?", (key,)
        )
    }
    for quantity in PLANNED:
        if quantity not in rows:
            continue
        if min(rows[quantity]) < 0:
            raise ValueError(f"a negative number of items of {quantity}")
        axes = ((quantity, axis) for axis in AXES.get(quantity, ()))
        kept = tuple(deviations[axis] for axis in axes if axis in deviations)
        if any(one.n < 1 for one in kept):
            raise ValueError(f"a mean of no items of {quantity}")
        met, close, missed, undecided = rows[quantity]
        yield KeptIntent(quantity, met, close, missed, undecided, kept)


def _finite(value: object) -> float:
    if not isinstance(value, float | int) or not isfinite(value):
        raise ValueError(f"{value!r} is no number")
    return float(value)
