"""Workers that are processes of this machine."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import time
from collections import deque
from collections.abc import Callable, Generator, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Any, TypeVar

from auditor.runs.log_records import log_again, log_level
from auditor.runs.single_thread import SINGLE_THREADED
from auditor.runs.worker_process import WithRecords, begin, do, learn
from auditor.runs.workers import Lost, WorkersCannotStartError

Task = TypeVar("Task")
Result = TypeVar("Result")

# On Linux a server process loads what measures once, and each worker is a copy of it, which takes
# some hundredths of a second. Elsewhere copies of a process that has loaded such libraries are not
# safe, or not possible.
_METHOD = "forkserver" if sys.platform == "linux" else "spawn"
_LOADED_ONCE = ("auditor.runs.measured_file",)
# Windows has no SIGKILL; there, SIGTERM ends a process at once.
_KILL = getattr(signal, "SIGKILL", signal.SIGTERM)


class Processes:
    """Processes of this machine; each is started when there is work for it, and then kept.

    No task is ever done in the calling process. A process can be killed during a task, by the
    system because the memory is full or by a fault in compiled code. That task is tried once more
    when all others are done, alone.

    Parameters
    ----------
    jobs : int
        Number of processes, at least 1. A single one has the same single thread as several, so that
        their number changes no digit of a result.
    """

    def __init__(self, jobs: int) -> None:
        self._places = [_Place() for _ in range(jobs)]

    def spread(
        self, function: Callable[[Task], Result], tasks: Sequence[Task], limit_s: float
    ) -> Generator[tuple[int, Result | Lost], None, None]:
        """As `auditor.runs.workers.Workers.spread`."""
        try:
            killed = yield from _rounds(self._places, function, tasks, limit_s)
            for index in sorted(killed):
                self.close()  # the memory of the others is free for it
                for _, result in _once(self._places[0], function, tasks[index], limit_s):
                    yield index, result
        finally:
            # After an error or an interrupt, and if nobody asks for the rest.
            with _interrupts_held():
                for place in self._places:
                    place.end_if_busy()

    def close(self) -> None:
        """As `auditor.runs.workers.Workers.close`."""
        for place in self._places:
            place.end()


@dataclass(slots=True)
class _Running:
    """A task that is being done; until its process is ready, its time does not count."""

    index: int
    place: _Place
    until: float | None = None


def _rounds(
    places: Sequence[_Place],
    function: Callable[[Task], Result],
    tasks: Sequence[Task],
    limit_s: float,
) -> Generator[tuple[int, Result | Lost], None, list[int]]:
    """Do all tasks; return those whose process was killed."""
    waiting, free = deque(range(len(tasks))), deque(places)
    running: dict[Future[WithRecords[Any]], _Running] = {}
    killed = []
    while waiting or running:
        while waiting and free:
            place, index = free.popleft(), waiting.popleft()
            running[place.submit(function, tasks[index], limit_s)] = _Running(index, place)
        for future in _finished(running, limit_s):
            one = running.pop(future)
            free.append(one.place)
            result = one.place.result(future) if future.done() else one.place.give_up()
            if result is Lost.KILLED:
                killed.append(one.index)
            else:
                yield one.index, result
    return killed


def _finished(
    running: Mapping[Future[WithRecords[Any]], _Running], limit_s: float
) -> list[Future[WithRecords[Any]]]:
    """Wait for tasks to end, for processes to be ready, or for the time of a task to be over."""
    now = time.monotonic()
    for one in running.values():
        if one.until is None and one.place.is_ready:
            one.until = now + limit_s
    starting: list[Future[Any]] = [one.place.ready for one in running.values() if one.until is None]
    ends = [one.until for one in running.values() if one.until is not None]
    longest = max(0.0, min(ends) - now) if ends else None
    wait([*starting, *running], longest, FIRST_COMPLETED)
    done = [future for future in running if future.done()]
    if done:
        return done
    now = time.monotonic()
    return [f for f, one in running.items() if one.until is not None and one.until <= now]


def _once(
    place: _Place, function: Callable[[Task], Result], task: Task, limit_s: float
) -> Iterator[tuple[int, Result | Lost]]:
    """Do one task; if its process is killed, that is the answer."""
    killed = yield from _rounds([place], function, [task], limit_s)
    for index in killed:
        yield index, Lost.KILLED


class _Place:
    """Room for one process.

    Each place has a pool of one process: when a pool breaks it is known whose task it was, and the
    others go on.

    Attributes
    ----------
    ready : Future
        Done when the process has started and knows the function.
    """

    def __init__(self) -> None:
        self._pool: ProcessPoolExecutor | None = None
        self._line: Connection | None = None
        self.ready: Future[None] = Future()
        self._function: object = None
        self._is_busy = False

    @property
    def is_ready(self) -> bool:
        """Whether the process has started, or has failed to."""
        return self.ready.done()

    def submit(
        self, function: Callable[[Task], Result], task: Task, limit_s: float
    ) -> Future[WithRecords[Any]]:
        """Begin a task; a process is started where there is none."""
        with _interrupts_held():
            if self._pool is None:
                self._pool, self._line = _new_pool()
                self._function = None
            with _environment(SINGLE_THREADED):  # the first call starts the process
                if self._function is not function:
                    self.ready = self._pool.submit(learn, function)
                    self._function = function
                self._is_busy = True
                return self._pool.submit(do, task, limit_s)

    def result(self, future: Future[WithRecords[Result]]) -> Result | Lost:
        """What a finished task returned; raises what it raised."""
        try:
            result, records = future.result()
        except BrokenProcessPool as error:
            has_failed = self.ready.exception() is not None
            self.end()
            if has_failed:
                raise WorkersCannotStartError from error
            return Lost.KILLED
        self._is_busy = False
        log_again(records)
        return result

    def give_up(self) -> Lost:
        """End the process in the middle of its task."""
        self.end()
        return Lost.TOO_SLOW

    def end_if_busy(self) -> None:
        """End the process if it is doing something that nobody waits for."""
        if self._is_busy:
            self.end()

    def end(self) -> None:
        """End the process, whatever it does."""
        pool, line = self._pool, self._line
        self._pool = self._line = None
        is_busy, self._is_busy = self._is_busy, False
        if pool is None or line is None:
            return
        if is_busy:
            _kill(line)
            line.close()  # a process that is still starting cannot be killed; it ends after this
        pool.shutdown(wait=True, cancel_futures=True)
        line.close()


def _kill(line: Connection) -> None:
    with suppress(OSError, EOFError):
        if line.poll():
            os.kill(line.recv(), _KILL)


def _new_pool() -> tuple[ProcessPoolExecutor, Connection]:
    context = multiprocessing.get_context(_METHOD)
    if _METHOD == "forkserver":
        context.set_forkserver_preload(list(_LOADED_ONCE))
    ours, theirs = context.Pipe()
    pool = ProcessPoolExecutor(
        1, mp_context=context, initializer=begin, initargs=(theirs, log_level())
    )
    return pool, ours


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
