"""Log what a decoder written in C would write to standard error."""

from __future__ import annotations

import logging
import os
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import IO

from auditor.safe_text import one_line

STANDARD_ERROR = 2  # its file descriptor, which C code writes to
MOST_BYTES = 10_000  # that are logged about one picture; a broken file can cause thousands
MOST_READ_BYTES = 2_000_000  # an error may stand behind thousands of remarks about broken fields

_logger = logging.getLogger(__name__)
_redirecting = threading.Lock()  # there is one standard error for the process


@contextmanager
def decoder_messages_logged(file: str) -> Iterator[list[str]]:
    """Log what is written to the descriptor of standard error during a block.

    libtiff writes its messages there, and Pillow offers no way to receive them. If the descriptor
    cannot be redirected, it stays as it is.

    Parameters
    ----------
    file : str
        Name of the picture, for the log.

    Yields
    ------
    list of str
        Empty; after the block it has the lines that were written, at most `MOST_READ_BYTES` of
        them.
    """
    lines: list[str] = []
    with _redirecting:
        messages = _temporary_file()
        before = None if messages is None else _redirect(messages)
        try:
            yield lines
        finally:
            if messages is not None:
                if before is not None:
                    _restore(before)
                text = _text_in(messages)
                messages.close()
                lines.extend(text.splitlines())
                for line in text[:MOST_BYTES].splitlines():
                    _logger.warning("%s: %s", one_line(file), one_line(line))


def _temporary_file() -> IO[bytes] | None:
    try:
        return tempfile.TemporaryFile()
    except OSError:  # no room, or no folder for it
        return None


def _redirect(messages: IO[bytes]) -> int | None:
    """Return a descriptor of the former standard error; None if there was none."""
    try:
        before = os.dup(STANDARD_ERROR)
    except OSError:
        return None
    os.dup2(messages.fileno(), STANDARD_ERROR)
    return before


def _restore(before: int) -> None:
    os.dup2(before, STANDARD_ERROR)
    os.close(before)


def _text_in(messages: IO[bytes]) -> str:
    messages.seek(0)
    return messages.read(MOST_READ_BYTES).decode("utf-8", "replace")
