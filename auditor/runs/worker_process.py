"""What runs in a worker: one task after the other, with its log records, until nobody asks."""

from __future__ import annotations

import faulthandler
import logging
import os
import signal
import threading
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from pathlib import Path
from queue import SimpleQueue
from typing import Any, TypeVar

from auditor.runs.log_records import keep_records, take_records

Result = TypeVar("Result")
WithRecords = tuple[Result, tuple[logging.LogRecord, ...]]

# The main process ends a worker that takes too long. The worker ends itself this much later, for
# the case that nobody is left to do so.
_GRACE_S = 5.0


class _Worker:
    """What a worker process keeps between its tasks."""

    function: Callable[[Any], object]
    records: SimpleQueue[logging.LogRecord] | None = None


_worker = _Worker()


def begin(line: Connection, level: int) -> None:
    """Prepare a worker process.

    Parameters
    ----------
    line : Connection
        To the process that gives the tasks; it closes when that process ends or gives this one up.
    level : int
        From which records are kept.
    """
    # A terminal sends Ctrl-C to all processes; the main process alone answers it.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    keep_own_records(level)
    try:
        line.send(os.getpid())
    except OSError:  # given up while it was starting
        os._exit(1)
    threading.Thread(target=_end_with, args=(line,), daemon=True).start()


def keep_own_records(level: int) -> None:
    """Keep log records from a level on, to be sent back with the results."""
    if _worker.records is None:
        _worker.records = keep_records(level)


def _end_with(line: Connection) -> None:
    """End this process when the other end of a connection closes."""
    with suppress(EOFError, OSError):
        line.recv()
    os._exit(1)


def learn(function: Callable[[Any], object]) -> None:
    """Keep the function that is applied to all tasks from now on."""
    _worker.function = function


def do(task: object, limit_s: float) -> WithRecords[object]:
    """Do one task."""
    with Path(os.devnull).open("w", encoding="utf-8") as nowhere:
        # Its thread is not Python's, so that it also ends code that never gives the turn back.
        faulthandler.dump_traceback_later(limit_s + _GRACE_S, exit=True, file=nowhere)
        try:
            result = _worker.function(task)
        finally:
            faulthandler.cancel_dump_traceback_later()
    return result, () if _worker.records is None else take_records(_worker.records)
