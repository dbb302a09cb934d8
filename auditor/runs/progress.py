"""Show how much of a long task is done, on a terminal and in a log."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from auditor.safe_text import one_line

LINES_IN_A_LOG = 10  # where there is no terminal: one line for each tenth of the work


@contextmanager
def showing_progress(
    console: Console | None = None, *, doing: str = "Measuring", done: str = "Measured"
) -> Iterator[Callable[[int, int, str], None]]:
    """Show progress until the end of a block.

    Parameters
    ----------
    console : Console or None
        Where to show it; standard error if None.
    doing, done : str
        What is done with the pictures.

    Yields
    ------
    callable
        To be called with the number of tasks done, their total and the name of the latest.
    """
    console = console or _standard_error()
    if not console.is_terminal:
        yield lambda n_done, total, _name: _print_line(console, done, n_done, total)
        return
    columns = (
        TextColumn(doing, markup=False),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
        TextColumn("{task.fields[name]}", markup=False),
    )
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("", total=None, name="")
        yield lambda n_done, total, name: bar.update(
            task, completed=n_done, total=total, name=one_line(name)
        )


def _standard_error() -> Console:
    """A console that shows names as they are, whatever markup they look like."""
    return Console(stderr=True, markup=False, emoji=False, highlight=False, soft_wrap=True)


def _print_line(console: Console, done: str, n_done: int, total: int) -> None:
    step = max(1, total // LINES_IN_A_LOG)
    if n_done and (n_done % step == 0 or n_done == total):
        console.print(f"{done} {n_done} of {total} pictures")
