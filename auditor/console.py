"""What the commands print, and the exit status of errors; nothing else prints or exits."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from auditor.errors import AuditorError, NothingToMeasureError
from auditor.safe_text import for_terminal, one_line, shown_path

WRONG_INPUT, NOTHING_MEASURED = 2, 3

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
    """
    try:
        sys.stdout.flush()
        sys.stdout.buffer.write(text.encode())
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        # What reads the pipe has seen enough; nothing more can be written, not even at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def write_path(path: Path) -> None:
    """Write a path for another program to read: one line, without codes for the terminal."""
    sys.stdout.write(f"{shown_path(path)}\n")


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
