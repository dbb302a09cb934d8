"""Bring the log records of a worker process to the loggers of the main process."""

from __future__ import annotations

import logging
from collections.abc import Iterable
from logging.handlers import QueueHandler
from queue import SimpleQueue

# The parent of every logger of this package.
LOGGER_NAME = "auditor"


def log_level() -> int:
    """The level from which this package logs; a worker process keeps no records below it."""
    return logging.getLogger(LOGGER_NAME).getEffectiveLevel()


def keep_records(level: int) -> SimpleQueue[logging.LogRecord]:
    """Keep what is logged in this process, and its Python warnings, instead of writing it.

    Parameters
    ----------
    level : int
        From which this package logs; other packages log warnings and errors.

    Returns
    -------
    SimpleQueue of LogRecord
        Filled from now on. Tracebacks are already text, because they cannot be sent to another
        process.
    """
    kept: SimpleQueue[logging.LogRecord] = SimpleQueue()
    logging.getLogger().addHandler(QueueHandler(kept))
    logging.getLogger(LOGGER_NAME).setLevel(level)
    logging.captureWarnings(capture=True)
    return kept


def take_records(kept: SimpleQueue[logging.LogRecord]) -> tuple[logging.LogRecord, ...]:
    """Remove and return the records that were kept so far."""
    return tuple(kept.get() for _ in range(kept.qsize()))


def log_again(records: Iterable[logging.LogRecord]) -> None:
    """Log records of another process in this one.

    Records of other packages are logged by the parent of our own loggers: they were caused by our
    work, and they belong in its log.
    """
    for record in records:
        is_ours = record.name.split(".")[0] == LOGGER_NAME
        logging.getLogger(record.name if is_ours else LOGGER_NAME).handle(record)
