"""Audits whose processes are killed at random moments; run by hand, on Linux.

``python tests/benchmarks/check_kills.py FOLDER --workers 20 --main 20 --seed 1`` audits a folder of
pictures undisturbed, then again and again with a SIGKILL to one worker, to the process that starts
workers (``--starters``), or to the main process alone, at a random moment from its start to its
end; every fourth kill of the main process comes while the parts of its report are being changed. An
audit that lost another process must succeed all the same; after one that lost its main process the
next must. Each time the report must be, byte for byte, that of the undisturbed audit, nothing may
be left beside it, no process may be alive ten seconds later, what a reader sees meanwhile must be
of one report, and no more pictures may be measured again than were in work.

A row for each kill: after how many seconds and in which step it came, how long other processes
lived on, the pictures measured before it, those remembered, and those that the next run measured
and measured again. The status is 1 if anything is not as it should be. ``--keep FOLDER`` keeps what
the trials with faults left.
"""

from __future__ import annotations

import argparse
import random
import shutil
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.runs.killed_audits import Trial, Undisturbed

SWAP_EVERY = 4


def say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def row(number: int, trial: Trial) -> str:
    counts = (trial.n_measured, trial.n_kept, trial.n_measured_next, trial.n_again)
    seconds = f"{trial.after_s:7.2f} {trial.gone_s:6.2f}"
    numbers = " ".join(f"{count:5}" for count in counts)
    what = "; ".join(trial.faults) or "as it should be"
    return f"{number:3} {trial.victim:17} {seconds} {numbers}  {trial.step:34.34} {what}"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("pictures", type=Path)
    parser.add_argument("--workers", type=int, default=20)
    parser.add_argument("--starters", type=int, default=5)
    parser.add_argument("--main", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--keep", type=Path)
    given = parser.parse_args()
    chance = random.Random(given.seed)
    of_main = ["main in the swap" if not n % SWAP_EVERY else "main" for n in range(given.main)]
    victims = [*["worker"] * given.workers, *["starter"] * given.starters, *of_main]
    trials = []
    with tempfile.TemporaryDirectory() as folder:
        undisturbed = Undisturbed(given.pictures.absolute(), Path(folder), given.jobs)
        say(f"undisturbed: {undisturbed.n_measured} pictures, {undisturbed.lasts_s:.1f} s")
        say(
            "    killed              after   gone  meas  kept  next again  step"
            "                               result"
        )
        for number, victim in enumerate(victims):
            place = Path(folder) / str(number)
            trial = undisturbed.trial(victim, place, chance)
            trials.append(trial)
            say(row(number, trial))
            if trial.faults and given.keep is not None:
                shutil.copytree(place, given.keep / str(number))
            shutil.rmtree(place)
    n_faulty = sum(bool(trial.faults) for trial in trials)
    say(
        f"{len(trials)} kills, {n_faulty} with faults; "
        f"other processes lived on for {max(t.gone_s for t in trials):.2f} s at most; "
        f"{max(t.n_again for t in trials)} pictures measured again at most"
    )
    return int(n_faulty > 0)


if __name__ == "__main__":
    sys.exit(main())
