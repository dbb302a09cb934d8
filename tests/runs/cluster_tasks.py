"""Tasks for the workers of a cluster; a module of its own, so that they load nothing else."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path

# Windows has no SIGKILL; there, SIGTERM ends a process at once.
KILL = getattr(signal, "SIGKILL", signal.SIGTERM)

DEADLY, SLOW = "deadly", "slow"
_MOST_S = 300.0


def kill_own_process_if_deadly(task: str) -> str:
    """Give the task back, or end the process."""
    if task == DEADLY:
        os.kill(os.getpid(), KILL)
    return task


def wait_if_slow(task: str, released: Path) -> str:
    """Give the task back; a slow one only when a file is there."""
    give_up = time.monotonic() + _MOST_S
    while task == SLOW and not released.exists() and time.monotonic() < give_up:
        time.sleep(0.05)
    return task
