"""Open files that have an end, and nothing else; read those that are not too large.

A pipe, a socket or a device may have a picture's or a plan's name, or a link with such a name may
lead to one. To open or to read it could wait for ever, or never come to an end.
"""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from typing import IO

BYTES_PER_MB = 1_000_000

# No waiting for the other end of a pipe that took the file's place after it was looked at, no
# terminal of ours by opening one. Windows has neither, and needs its own for bytes.
_FLAGS = (
    os.O_RDONLY
    | getattr(os, "O_NONBLOCK", 0)
    | getattr(os, "O_NOCTTY", 0)
    | getattr(os, "O_CLOEXEC", 0)
    | getattr(os, "O_BINARY", 0)
)


class NotAFileError(OSError):
    """There is something of that name, but it is a folder, a pipe, a socket or a device."""

    def __init__(self, path: Path, mode: int) -> None:
        what = (
            "this is a folder"
            if stat.S_ISDIR(mode)
            else "this is no regular file but a pipe, a socket or a device"
        )
        super().__init__(errno.EINVAL, what, str(path))


class TooLargeFileError(OSError):
    """A file is larger than what is read of its kind.

    Attributes
    ----------
    n_bytes : int
        Its size.
    """

    def __init__(self, path: Path, n_bytes: int, most_bytes: int) -> None:
        most = f"{most_bytes / BYTES_PER_MB:g} MB"
        super().__init__(errno.EFBIG, f"it is larger than {most}, the most that is read", str(path))
        self.n_bytes = n_bytes


def open_regular(path: Path) -> IO[bytes]:
    """Open a file for reading.

    Parameters
    ----------
    path : Path
        Links are followed.

    Raises
    ------
    NotAFileError
        It is no file. A device is not even opened: that alone can do something to it.
    OSError
        It cannot be opened.
    """
    _refuse_other(path, path.stat().st_mode)
    descriptor = os.open(path, _FLAGS)
    try:
        _refuse_other(path, os.fstat(descriptor).st_mode)  # another may have taken its place
        return os.fdopen(descriptor, "rb")
    except BaseException:
        os.close(descriptor)
        raise


def read_regular(path: Path, most_bytes: int) -> bytes:
    """The contents of a file, as many bytes as its size says.

    Files that the system makes up while they are read, such as those of ``/proc``, have the size 0
    and may have no end; they count as empty.

    Parameters
    ----------
    path : Path
    most_bytes : int
        Of a larger file nothing is read.

    Raises
    ------
    NotAFileError, TooLargeFileError
    OSError
        It cannot be opened or read.
    """
    with open_regular(path) as stream:
        n_bytes = os.fstat(stream.fileno()).st_size
        if n_bytes > most_bytes:
            raise TooLargeFileError(path, n_bytes, most_bytes)
        return stream.read(n_bytes)


def _refuse_other(path: Path, mode: int) -> None:
    if not stat.S_ISREG(mode):
        raise NotAFileError(path, mode)
