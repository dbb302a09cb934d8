"""Spread independent tasks over processes of one machine."""

from __future__ import annotations

import logging
import multiprocessing
import os
import signal
from collections import deque
from collections.abc import Callable, Generator, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass
from queue import SimpleQueue
from typing import Any, TypeVar

from auditor.runs.log_records import keep_records, log_again, log_level, take_records
from auditor.runs.single_thread import SINGLE_THREADED

Task = TypeVar("Task")
Result = TypeVar("Result")
_WithRecords = tuple[Result, tuple[logging.LogRecord, ...]]


@dataclass(frozen=True, slots=True)
class Killed:
    """In place of a result: the process was killed twice, the second time with this task alone."""


class WorkersCannotStartError(RuntimeError):
    """A worker process ended before it was given a task."""

    def __init__(self) -> None:
        super().__init__(
            "A worker process ended before it was given a task. A script that calls auditor must do"
            " so below `if __name__ == '__main__':`, and a finder of its own must be in a module"
            " that other processes can import. Otherwise the memory may be full."
        )


def default_jobs() -> int:
    """Number of processes that this machine can keep busy."""
    affinity = getattr(os, "sched_getaffinity", None)
    return len(affinity(0)) if affinity else os.cpu_count() or 1


def spread(
    function: Callable[[Task], Result], tasks: Sequence[Task], jobs: int
) -> Generator[tuple[int, Result | Killed], None, None]:
    """Apply a function to tasks, in any order of completion.

    No task is ever done in the calling process. A process can be killed during a task, by the
    system because the memory is full or by a fault in compiled code. All tasks that were being done
    at that moment are tried once more, each alone in a new process.

    Parameters
    ----------
    function : callable
        Sent to each process once, so that it may carry large data; picklable.
    tasks : sequence
        Picklable.
    jobs : int
        Number of processes, at least 1. A single job also runs in a process of its own, with the
        same single thread as several jobs, so that their number changes no digit of a result.

    Yields
    ------
    (int, Result or Killed)
        Index of the task and what the function returned, or `Killed` if its process was killed
        again when it was tried alone.

    Raises
    ------
    Exception
        Whatever the function raises; the tasks that were not started are then given up.
    WorkersCannotStartError
        A worker process ended before it was given a task.
    """
    waiting = deque(range(len(tasks)))
    with _environment(SINGLE_THREADED):
        while waiting:
            interrupted = yield from _until_a_process_is_killed(function, tasks, waiting, jobs)
            for index in interrupted:
                yield index, _alone(function, tasks[index])


def _until_a_process_is_killed(
    function: Callable[[Task], Result], tasks: Sequence[Task], waiting: deque[int], jobs: int
) -> Generator[tuple[int, Result], None, list[int]]:
    """Do what waits; return the tasks that were being done when a process was killed, or none."""
    running: dict[Future[_WithRecords[Result]], int] = {}
    with _processes(function, min(jobs, len(waiting))) as pool:
        try:
            while waiting or running:
                # No more than can run: a task in the pool's queue could not be taken back.
                while waiting and len(running) < jobs:
                    running[_submitted(pool, tasks[waiting[0]])] = waiting[0]
                    waiting.popleft()
                done, _ = wait(running, return_when=FIRST_COMPLETED)
                for future in done:
                    result = _result_of(future)
                    yield running.pop(future), result
        except BrokenProcessPool:
            # Which of the processes was killed is not known: the pool then ends the others too.
            finished = [future for future in running if future.exception() is None]
            for future in finished:
                yield running.pop(future), _result_of(future)
    return sorted(running.values())


def _alone(function: Callable[[Task], Result], task: Task) -> Result | Killed:
    """Do one task in a process of its own while nothing else is being done."""
    with _processes(function, 1) as pool:
        try:
            _submitted_start(pool).result()
        except BrokenProcessPool as error:
            raise WorkersCannotStartError from error
        try:
            result: Result = _result_of(_submitted(pool, task))
        except BrokenProcessPool:
            return Killed()
        return result


@contextmanager
def _processes(function: Callable[[Any], Any], number: int) -> Iterator[ProcessPoolExecutor]:
    """A pool of new processes that know the function; closed when they are idle."""
    pool = ProcessPoolExecutor(
        number,
        # "spawn" is the one way that works alike on every system and inherits no locks.
        mp_context=multiprocessing.get_context("spawn"),
        initializer=_begin,
        initargs=(function, log_level()),
    )
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _submitted(pool: ProcessPoolExecutor, task: Task) -> Future[_WithRecords[Any]]:
    with _interrupts_held():
        return pool.submit(_do, task)


def _submitted_start(pool: ProcessPoolExecutor) -> Future[int]:
    """A task that does nothing; it succeeds if a process can start at all."""
    with _interrupts_held():
        return pool.submit(os.getpid)


def _result_of(future: Future[_WithRecords[Result]]) -> Result:
    result, records = future.result()
    log_again(records)
    return result


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


@contextmanager
def _interrupts_held() -> Iterator[None]:
    """Deliver an interrupt afterwards; a process that is started meanwhile never receives one."""
    if not hasattr(signal, "pthread_sigmask"):  # Windows
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


class _Worker:
    """What a worker process keeps between its tasks."""

    function: Callable[[Any], object]
    records: SimpleQueue[logging.LogRecord]


_worker = _Worker()


def _begin(function: Callable[[Any], object], level: int) -> None:
    """Prepare a worker process."""
    # A terminal sends Ctrl-C to all processes; the main process alone answers it.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _worker.function, _worker.records = function, keep_records(level)


def _do(task: object) -> _WithRecords[object]:
    """Do one task in a worker process."""
    result = _worker.function(task)
    return result, take_records(_worker.records)
