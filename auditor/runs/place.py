"""Room for one worker process of this machine."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from multiprocessing import resource_tracker
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import TYPE_CHECKING, Any, cast

from auditor.runs.log_records import log_level
from auditor.runs.single_thread import SINGLE_THREADED
from auditor.runs.worker_process import Begun, Done, Failed, Order, serve

if TYPE_CHECKING:
    from multiprocessing.context import ForkServerContext, SpawnContext

# On Linux a server process loads what measures once, and each worker is a copy of it, which takes
# some hundredths of a second. Elsewhere copies of a process that has loaded such libraries are not
# safe, or not possible.
_LOADED_ONCE = ("auditor.runs.measured_file",)


class Place:
    """Room for one process; it is started when there is a task for it, and then kept.

    The two processes share one connection and nothing else. It closes when the worker ends, for
    whatever reason, so a dead worker is never waited for, not even one killed while it answered.
    """

    def __init__(self) -> None:
        self._process: BaseProcess | None = None
        self._line: Connection | None = None
        self._function: object = None
        self._is_busy = self._has_begun = False

    @property
    def line(self) -> Connection | None:
        """What to wait for; None if there is no process."""
        return self._line

    @property
    def has_begun(self) -> bool:
        """Whether the process, or the last one that there was, has ever begun a task."""
        return self._has_begun

    def order(self, function: Callable[[Any], object], task: object, limit_s: float) -> None:
        """Give a task; a process is started where there is none.

        If the process has ended meanwhile, or cannot be started, the next answer is None.
        """
        if self._line is None:
            _prepare()
        with interrupts_held(), suppress(OSError, EOFError):
            if self._line is None:
                self._start()
            self._is_busy = True
            changed = None if self._function is function else function
            self._function = function
            if self._line is not None:
                self._line.send(Order(changed, task, limit_s))

    def answer(self) -> Begun | Done | Failed | None:
        """What the process answers, waited for; None if it has ended, which frees its place."""
        try:
            found = None if self._line is None else self._line.recv()
        except (EOFError, OSError):
            found = None
        if found is None:
            self.end()
        elif isinstance(found, Begun):
            self._has_begun = True
        else:
            self._is_busy = False
        return cast("Begun | Done | Failed | None", found)

    def end_if_busy(self) -> None:
        """End the process if it is doing something that nobody waits for."""
        if self._is_busy:
            self.end()

    def end(self) -> None:
        """End the process, whatever it does."""
        process, line = self._process, self._line
        self._process = self._line = self._function = None
        self._is_busy = False
        if line is not None:
            line.close()
        if process is None or process.pid is None:  # there is none, or it could not start
            return
        if process.is_alive():
            process.kill()
        process.join()

    def _start(self) -> None:
        context = _context()
        self._has_begun = False
        self._line, theirs = context.Pipe()
        with _environment(SINGLE_THREADED), theirs:
            self._process = context.Process(target=serve, args=(theirs, log_level()))
            self._process.start()


if sys.platform == "linux":

    def _prepare() -> None:
        """Start what Python starts before the first process; that lets interrupts through again."""
        resource_tracker.ensure_running()

    def _context() -> ForkServerContext:
        context = multiprocessing.get_context("forkserver")
        context.set_forkserver_preload(list(_LOADED_ONCE))
        return context

else:

    def _prepare() -> None:
        """Nothing is needed."""

    def _context() -> SpawnContext:
        return multiprocessing.get_context("spawn")


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
def interrupts_held() -> Iterator[None]:
    """Deliver an interrupt afterwards; a process that is started meanwhile never receives one."""
    if not hasattr(signal, "pthread_sigmask"):  # Windows
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
