"""Standard output and error that a run survives: closed, full, or a pipe that nobody reads.

A report is written all the same if its last line cannot be said.
"""

from __future__ import annotations

import errno
import io
import os
import sys
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from _typeshed import ReadableBuffer

_OUT, _ERR = 1, 2


class _Kept(io.FileIO):
    """A file that takes what is written after it has failed, and remembers why it did."""

    error: OSError | None = None

    def write(self, data: ReadableBuffer, /) -> int:
        if self.error is None:
            try:
                return super().write(data)
            except OSError as error:
                self.error = error
        return memoryview(data).nbytes


def keep_streams() -> None:
    """Let nothing that happens to standard output and error stop the program."""
    for number in (0, _OUT, _ERR):
        _open_if_closed(number)
    # A stream that is somebody else's, as in a test, is left alone.
    if sys.stdout is sys.__stdout__:
        sys.stdout = _kept(_OUT, sys.__stdout__)
    if sys.stderr is sys.__stderr__:
        sys.stderr = _kept(_ERR, sys.__stderr__)


def output_error() -> OSError | None:
    """Why standard output could not be written; None if it could, or if its reader has left."""
    sys.stdout.flush()
    raw = getattr(getattr(sys.stdout, "buffer", None), "raw", None)
    error = raw.error if isinstance(raw, _Kept) else None
    return None if error is None or error.errno == errno.EPIPE else error


def _open_if_closed(number: int) -> None:
    """Put something in the place of a closed stream, or the next file that is opened takes it."""
    try:
        os.fstat(number)
    except OSError:
        os.open(os.devnull, os.O_RDWR)  # the lowest free number, which is this one


def _kept(number: int, stream: TextIO | None) -> TextIO:
    if stream is not None and sys.platform == "win32" and stream.isatty():
        return stream  # a console there is no file
    return io.TextIOWrapper(
        io.BufferedWriter(_Kept(number, "w", closefd=False)),
        encoding="utf-8" if stream is None else stream.encoding,
        errors="backslashreplace" if stream is None else stream.errors,
        line_buffering=number == _ERR or (stream is not None and stream.isatty()),
    )
