"""Read a whole file that must be a regular one of a limited size.

A pipe with the name of a plan never ends, and a sparse file of many gigabytes costs all memory, so
both are refused before a byte of them is read.
"""

from __future__ import annotations

import stat
from pathlib import Path

BYTES_PER_MB = 1_000_000


class UnfitFileError(Exception):
    """A file that is not read: no regular file, or larger than the limit; its text says why."""


def read_regular_file(path: Path, most_bytes: int) -> bytes:
    """Read a regular file of at most `most_bytes` bytes.

    Raises
    ------
    UnfitFileError
        It is a pipe, a device or a socket, or it is larger.
    OSError
        It cannot be read; `IsADirectoryError` for a folder.
    """
    status = path.stat()  # before it is opened, since opening a pipe waits for its other end
    if not stat.S_ISREG(status.st_mode) and not stat.S_ISDIR(status.st_mode):
        raise UnfitFileError("this is no regular file but a pipe or a device")
    if status.st_size > most_bytes and not stat.S_ISDIR(status.st_mode):
        raise UnfitFileError(_too_large(most_bytes))
    with path.open("rb") as file:
        content = file.read(most_bytes + 1)
    if len(content) > most_bytes:  # it has grown, or its system states no size
        raise UnfitFileError(_too_large(most_bytes))
    return content


def _too_large(most_bytes: int) -> str:
    return f"the file is larger than {most_bytes / BYTES_PER_MB:g} MB, the most that is read"
