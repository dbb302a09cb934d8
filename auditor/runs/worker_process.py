"""What runs in a worker: one task after the other, until the main process ends."""

from __future__ import annotations

import faulthandler
import logging
import os
import signal
import threading
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from queue import SimpleQueue
from typing import Any, TypeVar

from auditor.runs.log_records import keep_records, take_records

Result = TypeVar("Result")
WithRecords = tuple[Result, tuple[logging.LogRecord, ...]]

# The main process ends a worker that takes too long. The worker ends itself this much later, for
# the case that nobody is left to do so.
GRACE_S = 5.0


@dataclass(frozen=True, slots=True)
class Order:
    """A task for a worker.

    Attributes
    ----------
    function : callable or None
        What is done with it; None for the function of the order before.
    task : object
    limit_s : float
        How long it may take.
    """

    function: Callable[[Any], object] | None
    task: object
    limit_s: float


class Begun:
    """What a worker answers when it has a task and begins it."""


@dataclass(frozen=True, slots=True)
class Done:
    """What a worker answers when it has done a task."""

    result: object
    records: tuple[logging.LogRecord, ...]


@dataclass(frozen=True, slots=True)
class Failed:
    """What a worker answers when the function has raised an error, or cannot be loaded."""

    error: Exception


class _Worker:
    """What a worker process keeps between its tasks."""

    function: Callable[[Any], object]
    records: SimpleQueue[logging.LogRecord] | None = None


_worker = _Worker()


def serve(line: Connection, level: int) -> None:
    """Do what is ordered until the other end of a connection closes, and end the process.

    Parameters
    ----------
    line : Connection
        To the process that gives the orders; it closes when that process ends or gives this one up.
    level : int
        From which log records are kept.
    """
    # A terminal sends Ctrl-C to all processes; the main process alone answers it.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    keep_own_records(level)
    orders: SimpleQueue[Order] = SimpleQueue()
    threading.Thread(target=_receive, args=(line, orders), daemon=True).start()
    while True:
        order = orders.get()
        if order.function is not None:
            learn(order.function)
        _send(line, Begun())
        try:
            answer: Done | Failed = Done(*do(order.task, order.limit_s))
        except Exception as error:  # the main process raises it
            answer = _failed(error)
        _send(line, answer)


def _receive(line: Connection, orders: SimpleQueue[Order]) -> None:
    """Take orders, also during a task, so that the end of the other process is noticed at once."""
    try:
        while True:
            orders.put(line.recv())
    except (EOFError, OSError):  # the main process has ended
        pass
    except Exception as error:  # the function cannot be loaded here
        _send(line, _failed(error))
    finally:
        os._exit(1)


def _send(line: Connection, answer: Begun | Done | Failed) -> None:
    try:
        try:
            line.send(answer)
        except OSError:
            raise
        except Exception as error:  # it cannot be pickled
            line.send(_failed(error))
    except OSError:  # the main process has ended
        os._exit(1)


def _failed(error: Exception) -> Failed:
    error.add_note(f"In a worker process:\n{traceback.format_exc()}")
    return Failed(error)


def keep_own_records(level: int) -> None:
    """Keep log records from a level on, to be sent back with the results."""
    if _worker.records is None:
        _worker.records = keep_records(level)


def learn(function: Callable[[Any], object]) -> None:
    """Keep the function that is applied to all tasks from now on."""
    _worker.function = function


def do(task: object, limit_s: float) -> WithRecords[object]:
    """Do one task."""
    with Path(os.devnull).open("w", encoding="utf-8") as nowhere:
        # Its thread is not Python's, so that it also ends code that never gives the turn back.
        faulthandler.dump_traceback_later(limit_s + GRACE_S, exit=True, file=nowhere)
        try:
            result = _worker.function(task)
        finally:
            faulthandler.cancel_dump_traceback_later()
    return result, () if _worker.records is None else take_records(_worker.records)
