"""Audits as commands of their own, with all their processes. Needs /proc, and signals."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from pathlib import Path
from uuid import uuid4

from tests.conftest import ROOT

MOST_S_AFTER_A_KILL = 10.0  # within which every process of a killed audit must have ended
_MARK = "AUDITOR_TEST_RUN"  # in the environment of all processes of an audit
_LIMIT_S = 600.0
_LEFT = re.compile(r"\.in-work-.*|.*\.part|\.replaced-.*")
_MEASURED = re.compile(r"auditor\.runs\.measured_file: (.*): measured$", re.MULTILINE)
# A job in the background of a shell ignores SIGINT and passes that on; this program answers it.
_ANSWERING = """
import fcntl, os, signal, sys, termios
signal.signal(signal.SIGINT, signal.SIG_DFL)
if os.isatty(0):
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
os.execv(sys.executable, [sys.executable, "-m", "auditor", *sys.argv[1:]])
"""


class Audit:
    """One run of the command, with its own processes.

    Parameters
    ----------
    pictures : Path
    place : Path
        Folder for its report, cache, log and what it says.
    name : str
        Of the log.
    jobs : int
    epoch : int
        The time that its report states.
    terminal : int or None
        The descriptor of a terminal that becomes its own; without one it writes to a file.
    """

    def __init__(
        self,
        pictures: Path,
        place: Path,
        name: str,
        jobs: int = 2,
        epoch: int = 1,
        terminal: int | None = None,
    ) -> None:
        self.log, self.said = place / f"{name}.log", place / f"{name}.txt"
        self.token = uuid4().hex
        environment = {
            **os.environ,
            "PYTHONPATH": str(ROOT),
            "XDG_CACHE_HOME": str(place / "cache"),
            "SOURCE_DATE_EPOCH": str(epoch),
            _MARK: self.token,
        }
        words = ["audit", pictures, "--out", "report", "--jobs", jobs, "--log", self.log]
        with self.said.open("wb") as said:
            self.begun = time.monotonic()
            self.main = subprocess.Popen(
                [sys.executable, "-c", _ANSWERING, *map(str, words)],
                cwd=place,
                env=environment,
                stdin=subprocess.DEVNULL if terminal is None else terminal,
                stdout=subprocess.DEVNULL,
                stderr=said if terminal is None else terminal,
                start_new_session=True,
            )

    def age_s(self) -> float:
        """Seconds since it was started."""
        return time.monotonic() - self.begun

    def text(self) -> str:
        """What it has said so far."""
        return self.said.read_text(encoding="utf-8")

    def step(self) -> str:
        """What it was doing last."""
        lines = self.text().splitlines()
        return lines[-1] if lines else "starting"

    def measured(self) -> set[str]:
        """The pictures that it has measured, by its log."""
        text = self.log.read_text(encoding="utf-8") if self.log.exists() else ""
        return set(_MEASURED.findall(text))

    def processes(self) -> dict[int, int]:
        """Its processes that are alive, each with its parent."""
        found = {}
        for entry in Path("/proc").iterdir():
            if not entry.name.isdigit():
                continue
            try:
                if f"{_MARK}={self.token}".encode() in (entry / "environ").read_bytes():
                    fields = (entry / "stat").read_text().rpartition(")")[2].split()
                    if fields[0] != "Z":
                        found[int(entry.name)] = int(fields[1])
            except OSError:  # it has ended meanwhile
                continue
        return found

    def workers(self) -> list[int]:
        """Its workers: they are started by a process that the main process has started."""
        processes = self.processes()
        helpers = {one for one, parent in processes.items() if parent == self.main.pid}
        return sorted(one for one, parent in processes.items() if parent in helpers)

    def starters(self) -> list[int]:
        """The process that starts its workers, once there is one."""
        processes = self.processes()
        return sorted({processes[one] for one in self.workers() if one in processes})

    def ended(self) -> int:
        """Wait for its main process; the exit status."""
        return self.main.wait(_LIMIT_S)

    def gone_after_s(self, most_s: float = MOST_S_AFTER_A_KILL) -> float | None:
        """How long it takes until none of its processes is alive; None if that is too long."""
        begun = time.monotonic()
        while self.processes():
            if time.monotonic() - begun > most_s:
                return None
            time.sleep(0.01)
        return time.monotonic() - begun


def contents(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def leftovers(folder: Path) -> list[str]:
    """Names of what a run makes and then removes."""
    return [path.name for path in folder.rglob("*") if _LEFT.fullmatch(path.name)]
