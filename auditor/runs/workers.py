"""Where tasks are done: in processes of this machine, or on a cluster. One interface for both."""

from __future__ import annotations

import os
from collections.abc import Callable, Generator, Sequence
from enum import Enum
from typing import Protocol, TypeVar

Task = TypeVar("Task")
Result = TypeVar("Result")

# How long one picture may take until its worker is ended. A picture of 24 megapixels takes less
# than a second and the largest that is decoded about ten; the rest is for a slow disk and a machine
# that is busy with other things. No source.
PICTURE_LIMIT_S = 120.0


class Lost(Enum):
    """Why a task has no result."""

    KILLED = "killed"
    """Its worker was killed twice; on one machine nothing else was being done the second time."""
    TOO_SLOW = "too slow"
    """It took longer than its limit, and its worker was ended."""


class WorkersCannotStartError(RuntimeError):
    """A worker process ended before it was given a task."""

    def __init__(self) -> None:
        super().__init__(
            "A worker process ended before it was given a task. A script that calls auditor must do"
            " so below `if __name__ == '__main__':`, and a finder of its own must be in a module"
            " that other processes can import. Otherwise the memory may be full."
        )


class Workers(Protocol):
    """Do independent tasks outside the calling process."""

    def spread(
        self, function: Callable[[Task], Result], tasks: Sequence[Task], limit_s: float
    ) -> Generator[tuple[int, Result | Lost], None, None]:
        """Apply a function to tasks, in any order of completion.

        Parameters
        ----------
        function : callable
            Picklable; sent to each worker once, so that it may carry large data.
        tasks : sequence
            Picklable.
        limit_s : float
            How long one task may take; its worker is ended after that.

        Yields
        ------
        (int, Result or Lost)
            Index of the task, and what the function returned or why nothing came back.

        Raises
        ------
        Exception
            Whatever the function raises; what was not started is then given up.
        WorkersCannotStartError
            A worker ended before it was given a task.
        """

    def close(self) -> None:
        """End the workers; called once, when nothing is being done any more."""


def default_jobs() -> int:
    """Number of processes that this machine can keep busy."""
    affinity = getattr(os, "sched_getaffinity", None)
    return len(affinity(0)) if affinity else os.cpu_count() or 1
