"""What the commands print, and the exit status of errors; nothing else prints or exits."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from auditor.errors import AuditorError, NothingToMeasureError
from auditor.safe_text import for_terminal, one_line, shown_path
from auditor.standard_streams import output_error

WRONG_INPUT, NOTHING_MEASURED = 2, 3
# Of places that no other message is about: a name that is too long, a disk that is full or broken,
# too many open files. Whatever else a system refuses may be a fault of this program.
_REFUSED_BY_THE_SYSTEM = frozenset(
    (
        errno.ENAMETOOLONG,
        errno.ENOSPC,
        errno.EDQUOT,
        errno.EFBIG,
        errno.EROFS,
        errno.EIO,
        errno.EMFILE,
        errno.ENFILE,
    )
)

# Options of every command that measures.
Jobs = Annotated[
    int | None,
    typer.Option(min=1, help="Pictures measured at once.", show_default="one per core"),
]
Fresh = Annotated[bool, typer.Option("--fresh", help="Measure every picture, remembered or not.")]


def use_one_thread() -> None:
    """Compare the set with one thread, unless the user asks for more; before numpy is loaded.

    The workers keep the cores busy, and sums in one order make two runs give the same bytes.
    """
    from auditor.runs.single_thread import SINGLE_THREADED

    for name, number in SINGLE_THREADED.items():
        os.environ.setdefault(name, number)


def say(text: str) -> None:
    """Write a message of one line, whatever markup, codes or line breaks a name in it holds."""
    say_lines(one_line(text))


def say_lines(text: str) -> None:
    """Write a message of several lines; what is put into one must be on one line."""
    sys.stderr.write(f"{for_terminal(text)}\n")


def write_text(text: str) -> None:
    """Write text for another program to read, or for a pipe that closes before its end.

    It is UTF-8, as files are, whatever encoding the terminal has.

    Raises
    ------
    typer.Exit
        Where it cannot be written.
    """
    sys.stdout.flush()
    sys.stdout.buffer.write(text.encode())
    if not _was_output_written():
        raise typer.Exit(WRONG_INPUT)


def write_path(path: Path) -> None:
    """Write the path of what was written, for another program to read: one safe line."""
    sys.stdout.write(f"{shown_path(path)}\n")
    _was_output_written()


def _was_output_written() -> bool:
    """Whether standard output took everything; says why not. A reader that left is no error."""
    error = output_error()
    if error is not None:
        say(f"Standard output cannot be written ({error.strerror or error}).")
    return error is None


@contextmanager
def reporting_errors() -> Iterator[None]:
    """Turn errors that the user can mend into messages and an exit status."""
    try:
        yield
    except NothingToMeasureError as error:
        say_lines(str(error))
        raise typer.Exit(NOTHING_MEASURED) from None
    except AuditorError as error:
        say_lines(str(error))
        raise typer.Exit(WRONG_INPUT) from None
    except OSError as error:
        message = _what_the_system_refuses(error)
        if message is None:
            raise
        say(message)
        raise typer.Exit(WRONG_INPUT) from None


def _what_the_system_refuses(error: OSError) -> str | None:
    """A sentence on an error that no other message is about; None where it may be our fault."""
    try:
        Path.cwd()
    except OSError:
        return "The current folder is gone, or cannot be read. Change into another one."
    if error.errno not in _REFUSED_BY_THE_SYSTEM:
        return None
    named = "" if error.filename is None else f"{os.fsdecode(error.filename)}: "
    return f"{named}the system refuses this ({error.strerror}). Name another place, or make room."
