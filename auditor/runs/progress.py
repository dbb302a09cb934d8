"""Show how far long work has come, on a terminal and in a log."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

LINES_IN_A_LOG = 10  # where there is no terminal: one line a tenth of the work


@contextmanager
def showing_progress(console: Console) -> Iterator[Callable[[int, int, str], None]]:
    """Yield a function to be called with the number done, the total and what was just done."""
    if not console.is_terminal:
        yield lambda done, total, _name: _log(console, done, total)
        return
    columns = (
        TextColumn("Measuring"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
        TextColumn("{task.fields[name]}", markup=False),
    )
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("", total=None, name="")
        yield lambda done, total, name: bar.update(task, completed=done, total=total, name=name)


def _log(console: Console, done: int, total: int) -> None:
    step = max(1, total // LINES_IN_A_LOG)
    if done and (done % step == 0 or done == total):
        console.print(f"Measured {done} of {total} pictures")
