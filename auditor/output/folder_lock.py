"""Let only one process at a time write into a folder."""

from __future__ import annotations

import errno
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from auditor.errors import UnusableArgumentError
from auditor.photograph.folder import printable_name

LOCK_FILE = ".in-work-lock"
# Redrawing a page takes less; an audit takes longer, and is not waited for (our choice, no source).
LOCK_WAIT_S = 2.0
_STEP_S = 0.05
_IN_USE = frozenset((errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK))
_NO_LOCKS = frozenset((errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP, errno.EINVAL))


@contextmanager
def only_writer(directory: Path, what: str) -> Iterator[bool]:
    """Hold the lock of a folder during a block.

    The system frees the lock when the process ends, however it ends, so that the lock of a killed
    process is never in the way.

    Parameters
    ----------
    directory : Path
        It exists.
    what : str
        What is written there, for a message: ``"report"``.

    Yields
    ------
    bool
        Whether no other process writes there; False where the file system has no locks, so that
        nothing is known.

    Raises
    ------
    OSError
        Where no file can be made in the folder.
    UnusableArgumentError
        Where another process holds the lock for longer than `LOCK_WAIT_S`.
    """
    place = directory / LOCK_FILE
    descriptor, is_alone = _acquired(place, directory, what)
    try:
        yield is_alone
    finally:
        _release(descriptor, place)


def _acquired(place: Path, directory: Path, what: str) -> tuple[int, bool]:
    last_try = time.monotonic() + LOCK_WAIT_S
    while True:
        descriptor = os.open(place, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)
        try:
            is_locked = _try_lock(descriptor)
            if is_locked is None:
                return descriptor, False
            if is_locked and _is_at(descriptor, place):
                return descriptor, True
        except BaseException:
            os.close(descriptor)
            raise
        os.close(descriptor)
        if is_locked:  # its last holder removed it before we had it
            continue
        if time.monotonic() > last_try:
            raise UnusableArgumentError(
                f"{printable_name(str(directory))}: another run of auditor is writing its {what} "
                "there; nothing was changed. Wait until it is done, or name another folder with "
                "--out."
            )
        time.sleep(_STEP_S)


def _release(descriptor: int, place: Path) -> None:
    """Remove the lock while it is held, so that nobody else can hold the removed file."""
    try:
        if sys.platform != "win32" and _is_at(descriptor, place):
            with suppress(OSError):
                place.unlink()
    finally:
        os.close(descriptor)
    if sys.platform == "win32":  # there an open file cannot be removed, by nobody
        with suppress(OSError):
            place.unlink()


def _is_at(descriptor: int, place: Path) -> bool:
    """Whether an open file is the one at a place, and is one of ours: empty."""
    try:
        there, own = place.lstat(), os.fstat(descriptor)
    except OSError:
        return False
    return os.path.samestat(there, own) and own.st_size == 0


if sys.platform == "win32":
    import msvcrt

    def _try_lock(descriptor: int) -> bool | None:
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError as error:
            return _answer(error)
        return True

else:
    import fcntl

    def _try_lock(descriptor: int) -> bool | None:
        """True if it is locked now, False if another process holds it, None without locks."""
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            return _answer(error)
        return True


def _answer(error: OSError) -> bool | None:
    if error.errno in _IN_USE:
        return False
    if error.errno in _NO_LOCKS:
        return None
    raise error
