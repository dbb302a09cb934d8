"""Show how much of a long task is done, on a terminal and in a log."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import (
    BarColumn,
    MofNCompleteColumn,
    Progress,
    TaskID,
    TextColumn,
    TimeRemainingColumn,
)

from auditor.safe_text import one_line

LINES_IN_A_LOG = 10  # where there is no terminal: one line for each tenth of the work


class ShownProgress:
    """Shows the progress of one step of the work; called as `Progress` of `runs.measuring` is.

    Parameters
    ----------
    console : Console
    bar : rich.progress.Progress or None
        None where there is no terminal: then lines are printed.
    doing, done : str
        What is done with the pictures.
    """

    def __init__(self, console: Console, bar: Progress | None, doing: str, done: str) -> None:
        self._console, self._bar, self._doing, self._done = console, bar, doing, done
        self._task: TaskID | None = None

    def __call__(self, n_done: int, total: int, name: str) -> None:
        """Show how much is done."""
        if self._bar is None:
            _print_line(self._console, self._done, n_done, total)
            return
        if self._task is None:
            self._task = self._bar.add_task(self._doing, total=None, name="")
        self._bar.update(self._task, completed=n_done, total=total, name=one_line(name))

    def step(self, *, doing: str, done: str) -> ShownProgress:
        """Progress of another step, shown below this one from its first call on."""
        return ShownProgress(self._console, self._bar, doing, done)


@contextmanager
def showing_progress(
    console: Console | None = None, *, doing: str = "Measuring", done: str = "Measured"
) -> Iterator[ShownProgress]:
    """Show progress until the end of a block.

    Parameters
    ----------
    console : Console or None
        Where to show it; standard error if None.
    doing, done : str
        What is done with the pictures.

    Yields
    ------
    ShownProgress
        To be called with the number of tasks done, their total and the name of the latest.
    """
    console = console or _standard_error()
    if not console.is_terminal:
        yield ShownProgress(console, None, doing, done)
        return
    columns = (
        TextColumn("{task.description}", markup=False),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
        TextColumn("{task.fields[name]}", markup=False),
    )
    with Progress(*columns, console=console, transient=True) as bar:
        yield ShownProgress(console, bar, doing, done)


def _standard_error() -> Console:
    """A console that shows names as they are, whatever markup they look like."""
    return Console(stderr=True, markup=False, emoji=False, highlight=False, soft_wrap=True)


def _print_line(console: Console, done: str, n_done: int, total: int) -> None:
    step = max(1, total // LINES_IN_A_LOG)
    if n_done and (n_done % step == 0 or n_done == total):
        console.print(f"{done} {n_done} of {total} pictures")
