"""Show how much of a long task is done, on a terminal and in a log."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Protocol

from rich.console import Console
from rich.progress import (
    BarColumn,
    MofNCompleteColumn,
    Progress,
    ProgressColumn,
    Task,
    TaskID,
    TextColumn,
    TimeRemainingColumn,
)
from rich.table import Column
from rich.text import Text

from auditor.safe_text import one_line

LINES_IN_A_LOG = 10  # where there is no terminal: one line for each tenth of the work
BAR_WIDTH = 14  # characters; bar, count, pace and time left fit 80 columns beside a name
LEAST_NAME_WIDTH = 8  # characters of a name that are still of use
REFRESHES_PER_S = 4
MINUTE_S = 60


@dataclass(frozen=True, slots=True)
class StepWords:
    """What is done in a step of the work: as a bar says it, and as a line says it afterwards."""

    doing: str
    done: str


class Shown(Protocol):
    """What a long task tells of itself."""

    def __call__(self, n_done: int, total: int, name: str, /) -> None:
        """Tell how many tasks are done, of how many, and the name of the latest."""

    def now(self, doing: str, /) -> None:
        """Tell what is done now, where there is nothing to count."""

    def step(self, words: StepWords, /) -> Shown:
        """The same for another step of the work, shown from its first call on."""


class _Pace(ProgressColumn):
    """How fast tasks are done: a second or, where they take longer, a minute."""

    def render(self, task: Task) -> Text:
        speed = task.finished_speed or task.speed
        if not speed:
            return Text("")
        return Text(f"{speed:.1f}/s" if speed >= 1 else f"{speed * MINUTE_S:.0f}/min")


class _OnTerminal:
    """A bar that is drawn anew in its place."""

    def __init__(self, bar: Progress, task: TaskID, doing: str) -> None:
        self._bar = bar
        self._task = task
        self._doing = doing
        self._is_counting = False

    def __call__(self, n_done: int, total: int, name: str) -> None:
        if not self._is_counting:
            self._bar.reset(self._task, description=self._doing, total=total)
            self._is_counting = True
        self._bar.update(self._task, completed=n_done, total=total, name=one_line(name))

    def now(self, doing: str) -> None:
        self._bar.reset(self._task, description=doing, total=None, name="")
        self._is_counting = False

    def step(self, words: StepWords) -> Shown:
        return _OnTerminal(self._bar, self._task, words.doing)


class _InLog:
    """Lines, for where nothing can be drawn anew; the first when a task is done."""

    def __init__(self, console: Console, done: str) -> None:
        self._console = console
        self._done = done
        self._has_begun = False

    def __call__(self, n_done: int, total: int, _name: str) -> None:
        self._has_begun = True
        step = max(1, total // LINES_IN_A_LOG)
        if n_done and (n_done % step == 0 or n_done == total):
            self._console.print(f"{self._done} {n_done} of {total} pictures")

    def now(self, doing: str) -> None:
        if self._has_begun:
            self._console.print(doing)

    def step(self, words: StepWords) -> Shown:
        return _InLog(self._console, words.done)


@contextmanager
def showing_progress(
    console: Console | None = None, *, doing: str = "Measuring", done: str = "Measured"
) -> Iterator[Shown]:
    """Show progress until the end of a block.

    Parameters
    ----------
    console : Console or None
        Where to show it; standard error if None.
    doing, done : str
        What is done with the pictures.

    Yields
    ------
    Shown
        To be called with the number of tasks done, their total and the name of the latest.
    """
    console = console or _standard_error()
    if not console.is_terminal:
        yield _InLog(console, done)
        return
    columns = (
        TextColumn("{task.description}", markup=False, table_column=Column(no_wrap=True)),
        BarColumn(BAR_WIDTH),
        MofNCompleteColumn(table_column=Column(no_wrap=True)),
        _Pace(table_column=Column(no_wrap=True)),
        TimeRemainingColumn(compact=True, table_column=Column(no_wrap=True)),
        TextColumn(
            "{task.fields[name]}",
            markup=False,
            table_column=Column(
                no_wrap=True, overflow="ellipsis", ratio=1, min_width=LEAST_NAME_WIDTH
            ),
        ),
    )
    with Progress(
        *columns,
        console=console,
        transient=True,
        expand=True,
        refresh_per_second=REFRESHES_PER_S,
    ) as bar:
        yield _OnTerminal(bar, bar.add_task(doing, total=None, name=""), doing)


def _standard_error() -> Console:
    """A console that shows names as they are, whatever markup they look like."""
    return Console(stderr=True, markup=False, emoji=False, highlight=False, soft_wrap=True)
