"""Open files that have an end, and nothing else.

A pipe, a socket or a device may have a picture's name, or a link with such a name may lead to one.
To open or to read it could wait for ever, or never come to an end.
"""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from typing import IO

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
    """There is something of that name, but it is a pipe, a socket, a device or a folder."""

    def __init__(self, path: Path) -> None:
        super().__init__(errno.EINVAL, "it is no file", str(path))


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
    if not stat.S_ISREG(path.stat().st_mode):
        raise NotAFileError(path)
    descriptor = os.open(path, _FLAGS)
    try:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise NotAFileError(path)
        return os.fdopen(descriptor, "rb")
    except BaseException:
        os.close(descriptor)
        raise


def read_regular(path: Path) -> bytes:
    """The contents of a file, as many bytes as its size says.

    Files that the system makes up while they are read, such as those of ``/proc``, have the size 0
    and may have no end; they count as empty.

    Raises
    ------
    NotAFileError, OSError
        As `open_regular`, or the file cannot be read.
    """
    with open_regular(path) as stream:
        return stream.read(os.fstat(stream.fileno()).st_size)
