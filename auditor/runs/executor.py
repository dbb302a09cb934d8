"""Spread independent work over processes of one machine."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable, Generator, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from typing import TypeVar

Task = TypeVar("Task")
Result = TypeVar("Result")

# One thread in each process: the processes already fill the cores, and sums in a fixed order make
# two runs give the same bytes.
SINGLE_THREADED: Mapping[str, str] = dict.fromkeys(
    ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1"
)


def default_jobs() -> int:
    """Number of processes that this machine can keep busy."""
    affinity = getattr(os, "sched_getaffinity", None)
    return len(affinity(0)) if affinity else os.cpu_count() or 1


@contextmanager
def _environment(changes: Mapping[str, str]) -> Iterator[None]:
    before = {name: os.environ.get(name) for name in changes}
    os.environ.update(changes)
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value


def spread(
    function: Callable[[Task], Result], tasks: Sequence[Task], jobs: int
) -> Generator[tuple[int, Result], None, None]:
    """Apply a function to tasks, in any order of completion.

    Parameters
    ----------
    function : callable
        Importable by name, so that another process can find it.
    tasks : sequence
        Each is sent to a process once.
    jobs : int
        Number of processes, at least 1. Even one works apart from this process, with the same
        single thread as many, so that their number changes no digit of a result.

    Yields
    ------
    (int, Result)
        Index of the task and what the function returned.

    Raises
    ------
    Exception
        Whatever the function raises; what was queued is then given up.
    """
    # "spawn" is the one way that works alike on every system and inherits no locks.
    context = multiprocessing.get_context("spawn")
    unfinished: set[int] = set(range(len(tasks)))
    with _environment(SINGLE_THREADED):
        try:
            with ProcessPoolExecutor(
                max(1, min(jobs, len(tasks))), mp_context=context, initializer=_leave_interrupts
            ) as pool:
                for index, result in _completed(pool, function, tasks, jobs):
                    unfinished.discard(index)
                    yield index, result
        except BrokenProcessPool:
            # A process was killed, most often for memory: finish one by one in this process.
            for index in sorted(unfinished):
                yield index, function(tasks[index])


def _leave_interrupts() -> None:
    """Let the main process alone answer Ctrl-C, which a terminal sends to all."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


@contextmanager
def _interrupts_held() -> Iterator[None]:
    """Deliver an interrupt afterwards; a process started meanwhile never hears one."""
    if not hasattr(signal, "pthread_sigmask"):  # Windows
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _completed(
    pool: ProcessPoolExecutor,
    function: Callable[[Task], Result],
    tasks: Sequence[Task],
    jobs: int,
) -> Iterator[tuple[int, Result]]:
    waiting = iter(range(len(tasks)))
    running: dict[Future[Result], int] = {}

    def fill() -> None:
        # None waits in a queue: what is queued could not be taken back after an interrupt.
        while len(running) < jobs:
            index = next(waiting, None)
            if index is None:
                return
            with _interrupts_held():
                running[pool.submit(function, tasks[index])] = index

    try:
        fill()
        while running:
            done, _ = wait(running, return_when=FIRST_COMPLETED)
            for future in done:
                index = running.pop(future)
                yield index, future.result()
            fill()
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
