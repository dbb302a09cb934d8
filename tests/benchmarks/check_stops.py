"""Audits that are asked to stop at random moments; run by hand, on Linux.

``python tests/benchmarks/check_stops.py FOLDER --each 5 --seed 1`` audits a folder of pictures in a
terminal of its own and asks it to stop, in each of these ways so many times: Ctrl-C once, and twice
within half a second; SIGTERM and SIGHUP to the main process alone, and to all processes; the
terminal closes. Each time the status must be 130 (or 0, if the report was written already), one
sentence must say so and nothing else, no process may be left, and the report in place must be whole
and of one audit, with nothing beside it. ``--within`` is how many seconds the end may take.

The status is 1 if anything is not as it should be.
"""

from __future__ import annotations

import argparse
import os
import pty
import random
import re
import select
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.runs.audit_processes import Audit, contents, leftovers
from tests.runs.killed_audits import Undisturbed

INTERRUPTED = 130
SAID = (
    "Interrupted; an earlier report is untouched.",
    "Interrupted; report was already written.",
)
NEVER_SAID = ("Traceback", "Error", "Exception", "Stopped at once")
CODES = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")  # with which a terminal is steered
BETWEEN_S = (0.05, 0.5)  # the first Ctrl-C and the second


class Terminal:
    """A pseudo-terminal and what was written on it."""

    def __init__(self) -> None:
        self._ours, self.theirs = pty.openpty()
        self._is_open = True
        self.text = ""

    def read_for(self, seconds: float, until: Callable[[], bool] = lambda: False) -> None:
        """Read what is written; a program stops writing if nobody does."""
        end = time.monotonic() + seconds
        while time.monotonic() < end and not until():
            if not self._is_open:
                time.sleep(0.005)
            elif select.select([self._ours], [], [], 0.005)[0]:
                try:
                    self.text += os.read(self._ours, 65536).decode("utf-8", "replace")
                except OSError:  # all programs have left it
                    time.sleep(0.005)

    def press_ctrl_c(self) -> None:
        """As a person does."""
        os.write(self._ours, b"\x03")

    def close(self) -> None:
        """Close it; what runs in it gets SIGHUP."""
        if self._is_open:
            self._is_open = False
            os.close(self._ours)


def ctrl_c(_audit: Audit, terminal: Terminal, _chance: random.Random) -> None:
    terminal.press_ctrl_c()


def ctrl_c_twice(_audit: Audit, terminal: Terminal, chance: random.Random) -> None:
    terminal.press_ctrl_c()
    terminal.read_for(chance.uniform(*BETWEEN_S))
    terminal.press_ctrl_c()


def to_main(number: signal.Signals) -> Callable[..., None]:
    return lambda audit, *_: audit.main.send_signal(number)


def to_all(number: signal.Signals) -> Callable[..., None]:
    return lambda audit, *_: os.killpg(audit.main.pid, number)


WAYS: dict[str, Callable[[Audit, Terminal, random.Random], None]] = {
    "Ctrl-C": ctrl_c,
    "Ctrl-C twice": ctrl_c_twice,
    "SIGTERM to main": to_main(signal.SIGTERM),
    "SIGTERM to all": to_all(signal.SIGTERM),
    "SIGHUP to main": to_main(signal.SIGHUP),
    "SIGHUP to all": to_all(signal.SIGHUP),
    "terminal closes": lambda _audit, terminal, _chance: terminal.close(),
}


@dataclass
class Stop:
    """What one request to stop did; `faults` is empty if all is as it should be."""

    way: str
    after_s: float = 0.0
    took_s: float = 0.0
    status: int = 0
    said: str = ""
    faults: list[str] = field(default_factory=list)

    def check(self, holds: bool, fault: str) -> None:
        if not holds:
            self.faults.append(fault)


def started(undisturbed: Undisturbed, place: Path) -> tuple[Audit, Terminal]:
    """An audit over an earlier report, in a terminal, that has said its first word."""
    shutil.rmtree(place, ignore_errors=True)
    place.mkdir()
    shutil.copytree(undisturbed.earlier / "report", place / "report")
    terminal = Terminal()
    audit = Audit(undisturbed.pictures, place, "first", undisturbed.jobs, 1, terminal.theirs)
    os.close(terminal.theirs)
    # It answers from then on; before, Python itself is starting.
    terminal.read_for(60, lambda: bool(terminal.text))
    return audit, terminal


def stop(undisturbed: Undisturbed, way: str, place: Path, chance: random.Random) -> Stop:
    """Ask one audit to stop; again if it was over before."""
    while True:
        audit, terminal = started(undisturbed, place)
        terminal.read_for(chance.uniform(0, undisturbed.lasts_s - audit.age_s()))
        if audit.main.poll() is None:
            break
        terminal.close()
    before = len(terminal.text)
    one = Stop(way, audit.age_s())
    WAYS[way](audit, terminal, chance)
    terminal.read_for(60, lambda: audit.main.poll() is not None)
    one.took_s = audit.age_s() - one.after_s
    one.status = audit.ended()
    gone_s = audit.gone_after_s()
    terminal.read_for(0.1)
    terminal.close()
    lines = re.split(r"[\r\n]+", CODES.sub("", terminal.text[before:]))
    one.said = " | ".join(line for line in lines if line in SAID)
    found = contents(place / "report")
    one.check(gone_s is not None, "processes are left")
    one.check(found in (undisturbed.old, undisturbed.new), "no whole report")
    one.check(not leftovers(place), "something is left")
    one.check(not any(word in terminal.text for word in NEVER_SAID), terminal.text[before:])
    if one.status == 0:
        one.check(found == undisturbed.new, "status 0 without the report")
    elif way != "terminal closes":
        one.check(one.said in SAID, f"said {terminal.text[before:]!r}")
    one.check(one.status in (0, INTERRUPTED), f"status {one.status}")
    return one


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("pictures", type=Path)
    parser.add_argument("--each", type=int, default=5)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--within", type=float, default=2.0)
    given = parser.parse_args()
    chance = random.Random(given.seed)
    stops = []
    with tempfile.TemporaryDirectory() as folder:
        undisturbed = Undisturbed(given.pictures.absolute(), Path(folder), given.jobs)
        sys.stdout.write(f"undisturbed: {undisturbed.lasts_s:.1f} s\n")
        for way in WAYS:
            for _ in range(given.each):
                one = stop(undisturbed, way, Path(folder) / "stop", chance)
                one.check(one.took_s <= given.within, "took too long")
                stops.append(one)
                what = "; ".join(one.faults) or "as it should be"
                sys.stdout.write(
                    f"{way:16} after {one.after_s:6.2f} s, took {one.took_s:5.2f} s, "
                    f"status {one.status:3}, {one.said!r}: {what}\n"
                )
                sys.stdout.flush()
    n_faulty = sum(bool(one.faults) for one in stops)
    slowest_s = max(one.took_s for one in stops)
    sys.stdout.write(f"{len(stops)} stops, {n_faulty} with faults, {slowest_s:.2f} s at most\n")
    return int(n_faulty > 0)


if __name__ == "__main__":
    sys.exit(main())
