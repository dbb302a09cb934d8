"""Answer what asks the program to stop: Ctrl-C, `kill`, a terminal that closes.

The first request raises `KeyboardInterrupt`, as Python does for Ctrl-C alone. While the program
then puts things in order, further ones are ignored; if that takes too long, one ends it at once.
"""

from __future__ import annotations

import atexit
import os
import signal
import time
from types import FrameType

INTERRUPTED = 130  # exit status: 128 and the number of SIGINT, as shells have it
GRACE_S = 10.0  # more than putting things in order takes (our choice, no source)
AT_ONCE = b"Stopped at once; the next run puts in order what this one left.\n"
_SIGNALS = ("SIGINT", "SIGTERM", "SIGHUP")  # Windows has no SIGHUP


class _Stopping:
    """When the program was first asked to stop, or began to leave."""

    since_s: float | None = None


_stopping = _Stopping()


def answer_signals() -> None:
    """Answer all requests to stop, but those that the caller had this process ignore."""
    _stopping.since_s = None
    for name in _SIGNALS:
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, _stop)
            # While Python ends it puts back the system's answer, which is to end at once.
            atexit.register(signal.signal, number, signal.SIG_IGN)


def ignore_while_leaving() -> None:
    """From here on a request to stop changes nothing, unless leaving takes too long."""
    if _stopping.since_s is None:
        _stopping.since_s = time.monotonic()


def _stop(_number: int, _frame: FrameType | None) -> None:
    if _stopping.since_s is None:
        _stopping.since_s = time.monotonic()
        raise KeyboardInterrupt
    if time.monotonic() - _stopping.since_s > GRACE_S:
        try:
            os.write(2, AT_ONCE)
        finally:
            os._exit(INTERRUPTED)
