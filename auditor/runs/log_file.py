"""Write a run's log to a file."""

from __future__ import annotations

import logging
import os
import platform
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from auditor import __version__
from auditor.errors import AuditorError, UnusableArgumentError
from auditor.output.disk import missing_folders, remove_empty
from auditor.runs.log_records import LOGGER_NAME
from auditor.safe_text import shown_path

LINE_FORMAT = "%(asctime)s %(levelname)s %(name)s: %(message)s"
TIME_FORMAT = "%Y-%m-%dT%H:%M:%S%z"  # local time with its offset from UTC
_LOG_LINE = re.compile(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d{4} [A-Z]+ auditor")
_LOG_LINE_BYTES = 64  # holds the time, the level and the beginning of the logger's name

_root = logging.getLogger(LOGGER_NAME)
_logger = logging.getLogger(__name__)


@contextmanager
def logging_to(path: Path | None, say: Callable[[str], None]) -> Iterator[None]:
    """Append to a file what is logged under "auditor", and how the run ended.

    Parameters
    ----------
    path : Path or None
        The file; its folder is made where it does not exist. None writes no log.
    say : callable
        Called with one sentence if the file cannot be written any more; the run goes on.

    Raises
    ------
    UnusableArgumentError
        The file cannot be written, or it is there already and is not a log of this program.
    """
    if path is None:
        yield
        return
    log_file = _started(path, say)
    level_before = _root.level
    _root.addHandler(log_file)
    _root.setLevel(logging.INFO)
    try:
        yield
    except AuditorError as error:
        _logger.error("%s", error)
        raise
    except KeyboardInterrupt:
        _logger.warning("Interrupted")
        raise
    except Exception:
        _logger.critical("Stopped by a fault of auditor", exc_info=True)
        raise
    finally:
        _root.setLevel(level_before)
        _root.removeHandler(log_file)
        log_file.close()


class _LogFile(logging.Handler):
    """A log file; if it cannot be written any more, it is given up and the run goes on."""

    def __init__(self, path: Path, say: Callable[[str], None]) -> None:
        super().__init__()
        self._path, self._say, self._is_given_up = path, say, False
        self._file = path.open("a", encoding="utf-8", errors="backslashreplace")
        self.setFormatter(logging.Formatter(LINE_FORMAT, TIME_FORMAT))

    def emit(self, record: logging.LogRecord) -> None:
        """Write one record."""
        if self._is_given_up:
            return
        try:
            self.write(self.format(record))
        except OSError as error:
            self._is_given_up = True
            self._say(f"{_no_log(self._path, error)} The audit goes on without it.")

    def write(self, text: str) -> None:
        """Write a text and its line end, to the disk at once.

        Raises
        ------
        OSError
            The file cannot be written.
        """
        self._file.write(text + "\n")
        self._file.flush()

    def close(self) -> None:
        """Close the file."""
        with suppress(OSError):  # what could not be written has been reported
            self._file.close()
        super().close()


def _started(path: Path, say: Callable[[str], None]) -> _LogFile:
    """The log with its first line, which shows before the work begins that it can be written."""
    try:
        if path.is_file() and not _is_log(path):
            raise UnusableArgumentError(
                f"{shown_path(path)}: is not a log of an audit; nothing was changed. "
                "Name another file with --log."
            )
        is_new, missing = not os.path.lexists(path), missing_folders(path.parent)
        path.parent.mkdir(parents=True, exist_ok=True)
        log_file = _LogFile(path, say)
    except (OSError, ValueError) as error:  # a ValueError: a NUL in the path
        raise _unwritable(path, error) from error
    try:
        log_file.write(log_file.format(_first_record()))
    except OSError as error:
        log_file.close()
        if is_new:
            path.unlink(missing_ok=True)
            remove_empty(missing)
        raise _unwritable(path, error) from error
    return log_file


def _is_log(path: Path) -> bool:
    """True if a file is empty or begins as a log of this program does."""
    with path.open("rb") as file:
        head = file.read(_LOG_LINE_BYTES)
    return not head or _LOG_LINE.match(head) is not None


def _first_record() -> logging.LogRecord:
    made_by = f"auditor {__version__}, Python {platform.python_version()}, {platform.platform()}"
    return logging.LogRecord(_logger.name, logging.INFO, __file__, 0, made_by, None, None)


def _unwritable(path: Path, error: OSError | ValueError) -> UnusableArgumentError:
    return UnusableArgumentError(f"{_no_log(path, error)} Name another file with --log.")


def _no_log(path: Path, error: OSError | ValueError) -> str:
    reason = getattr(error, "strerror", None) or error
    return f"{shown_path(path)}: the log cannot be written there ({reason})."
