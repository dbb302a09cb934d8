"""Audits whose processes are killed, and what is left of them. Needs /proc, and signals."""

from __future__ import annotations

import os
import random
import shutil
import signal
import sqlite3
import time
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

from tests.runs.audit_processes import MOST_S_AFTER_A_KILL, Audit, contents, leftovers

_SURVIVED = ("worker", "starter")  # an audit succeeds without them
_SWAP_S = 0.02  # a change of a report's parts takes about as long


@dataclass
class Trial:
    """What one kill did; `faults` is empty if all is as it should be."""

    victim: str
    after_s: float = 0.0
    step: str = "starting"
    gone_s: float = 0.0
    n_measured: int = 0
    n_kept: int = 0
    n_measured_next: int = 0
    n_again: int = 0
    faults: list[str] = field(default_factory=list)

    def check(self, holds: bool, fault: str) -> None:
        """Note a fault."""
        if not holds:
            self.faults.append(fault)


class Undisturbed:
    """An audit that nothing happens to, and an earlier one of some of its pictures.

    Parameters
    ----------
    pictures : Path
    root : Path
        An empty folder.
    jobs : int
    """

    def __init__(self, pictures: Path, root: Path, jobs: int = 2) -> None:
        self.pictures, self.jobs = pictures, jobs
        few = root / "few" / pictures.name
        few.mkdir(parents=True)
        self.files = sorted(path.name for path in pictures.iterdir())
        for name in self.files[:2]:
            shutil.copy(pictures / name, few)
        self.earlier = root / "earlier"
        self.earlier.mkdir()
        self._audit(few, self.earlier, epoch=2)
        self.old = contents(self.earlier / "report")
        place = root / "undisturbed"
        place.mkdir()
        audit = self._audit(pictures, place, epoch=1)
        self.lasts_s = audit.age_s()
        self.new = contents(place / "report")
        self.n_measured = len(audit.measured())

    def _audit(self, pictures: Path, place: Path, epoch: int) -> Audit:
        audit = Audit(pictures, place, "first", self.jobs, epoch)
        if audit.ended() != 0:
            raise RuntimeError(audit.text())
        return audit

    def trial(self, victim: str, place: Path, chance: random.Random) -> Trial:
        """Kill a process of an audit, and audit again if that ended it.

        Parameters
        ----------
        victim : str
            ``"worker"``; ``"starter"``, the process that starts workers; ``"main"``; or ``"main in
            the swap"``, while the parts of the report are changed.
        place : Path
            An empty folder.
        chance : random.Random
        """
        while True:
            shutil.rmtree(place, ignore_errors=True)
            place.mkdir()
            if chance.random() < 0.7:
                shutil.copytree(self.earlier / "report", place / "report")
            audit = Audit(self.pictures, place, "first", self.jobs)
            trial = Trial(victim)
            if _kill(audit, trial, place, self.lasts_s, chance):
                break
            audit.ended()  # it was over before
        status = audit.ended()
        gone_s = audit.gone_after_s()
        trial.check(gone_s is not None, "processes are left")
        trial.gone_s = MOST_S_AFTER_A_KILL if gone_s is None else gone_s
        trial.n_measured = len(audit.measured())
        if victim in _SURVIVED:
            trial.check(status == 0, f"status {status}")
            trial.check(trial.n_measured == self.n_measured, "not all was measured once")
        else:
            self._audit_again(audit, trial, place)
        trial.check("Traceback" not in audit.text(), "a traceback")
        trial.check(contents(place / "report") == self.new, "another report")
        left = leftovers(place)
        trial.check(not left, f"left: {', '.join(left)}")
        return trial

    def _audit_again(self, audit: Audit, trial: Trial, place: Path) -> None:
        seen = {
            name: data
            for name, data in contents(place / "report").items()
            if not name.startswith(".")
        }
        is_one = seen.items() <= self.old.items() or seen.items() <= self.new.items()
        trial.check(is_one, "half old and half new")
        trial.n_kept = _n_kept(place)
        second = Audit(self.pictures, place, "second", self.jobs)
        status = second.ended()
        trial.check(status == 0, f"status {status} of the next run: {second.step()}")
        trial.check(second.gone_after_s() is not None, "processes of the next run are left")
        trial.check("Traceback" not in second.text(), "a traceback of the next run")
        trial.n_measured_next = len(second.measured())
        trial.n_again = len(second.measured() & audit.measured())
        n_missing = self.n_measured - trial.n_kept
        trial.check(trial.n_measured_next == n_missing, "kept measurements are not used")
        trial.check(trial.n_again <= self.jobs, "more is measured again than was in work")


def _kill(audit: Audit, trial: Trial, place: Path, lasts_s: float, chance: random.Random) -> bool:
    """Kill the victim at a random moment; False if the audit is over before."""
    if trial.victim == "main in the swap":
        while not list(place.glob("report/.in-work-*/swap.json")):
            if audit.main.poll() is not None:
                return False
        time.sleep(chance.uniform(0, _SWAP_S))
    else:
        time.sleep(chance.uniform(0, lasts_s))
    found = {"worker": audit.workers, "starter": audit.starters}
    victims_of = found.get(trial.victim, lambda: [audit.main.pid])
    while not (victims := victims_of()):
        if audit.main.poll() is not None:
            return False
        time.sleep(0.01)
    if audit.main.poll() is not None:
        return False
    trial.after_s, trial.step = audit.age_s(), audit.step()
    try:
        os.kill(chance.choice(victims), signal.SIGKILL)
    except ProcessLookupError:
        return False
    return True


def _n_kept(place: Path) -> int:
    """How many measurements are remembered, looked at in a copy."""
    store = place / "cache" / "auditor"
    copy = place / "copy"
    if not (store / "measurements.sqlite").exists():
        return 0
    shutil.copytree(store, copy)
    try:
        with closing(sqlite3.connect(copy / "measurements.sqlite")) as connection:
            found = connection.execute("SELECT count(*) FROM kept WHERE kind = 'measured'")
            return int(found.fetchone()[0])
    except sqlite3.OperationalError:  # it has no tables yet
        return 0
    finally:
        shutil.rmtree(copy)
