"""Time of a second audit of the same pictures, as a share of the first.

    python tests/benchmarks/bench_second.py FOLDER [--pictures 100] [--jobs 1] [--seconds 3]

The pictures are copied into a folder of their own, and measurements are remembered in a place of
their own. Then five audits follow: the first, the second with nothing changed, one with a plan, one
with the plan changed, and one after all files were renamed, without a plan.

Printed for each audit are the processor time of its main process, that of all its other processes
(the server that starts the workers, the workers), the wall time, and its share of the processor
time of the first. The program makes itself the parent of every process that its own parent leaves
behind, waits for all of them, and adds up what the system says of each; for that it needs Linux.
With a plan, corrections of the pictures are tried: that measures versions that nobody measured
before, and is no measuring of the pictures themselves.
"""

from __future__ import annotations

import argparse
import ctypes
import itertools
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.photograph.folder import pictures_in

PR_SET_CHILD_SUBREAPER = 36  # of <linux/prctl.h>
# A file that was changed less than two seconds ago is read again (`runs/known_files.py`).
SETTLED_S = 2.5
PLAN = '[[shot]]\nname = "all"\nfiles = ["*"]\nsubject = {{ at = "{at}" }}\n'


class Cost(NamedTuple):
    """Processor time of the main process and of all others, and wall time, in seconds."""

    main_s: float
    others_s: float
    wall_s: float

    @property
    def cpu_s(self) -> float:
        """Processor time of all processes."""
        return self.main_s + self.others_s


def audit(folder: Path, place: Path, options: Sequence[str]) -> Cost:
    """Audit a folder as the command does, and wait for every process that it has started."""
    environment = {**os.environ, "XDG_CACHE_HOME": str(place / "cache"), "OMP_NUM_THREADS": "1"}
    command = [sys.executable, "-m", "auditor", "audit", str(folder), *options]
    began = time.perf_counter()
    with (place / "output.txt").open("wb") as output:
        started = subprocess.Popen(
            [*command, "--out", str(place / "report")],
            env=environment,
            stdout=output,
            stderr=subprocess.STDOUT,
        )
    main_s = others_s = 0.0
    status, wall_s = 0, 0.0
    while True:
        try:
            ended, code, used = os.wait4(-1, 0)
        except ChildProcessError:  # there are no more
            break
        if ended == started.pid:
            main_s, status = used.ru_utime + used.ru_stime, os.waitstatus_to_exitcode(code)
            wall_s = time.perf_counter() - began
            started.returncode = status
        else:
            others_s += used.ru_utime + used.ru_stime
    if status:
        sys.exit(f"the audit ended with {status}:\n{(place / 'output.txt').read_text()}")
    return Cost(main_s, others_s, wall_s)


def rename_all(folder: Path) -> None:
    """Give every picture another name, so that the order of the set changes too."""
    for number, path in enumerate(sorted(folder.iterdir(), reverse=True)):
        path.rename(folder / f"renamed-{number:04d}{path.suffix}")
    time.sleep(SETTLED_S)


def main() -> None:
    """Run the five audits and print what each costs."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--pictures", type=int, default=100, help="at most so many")
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--seconds", type=int, default=3, help="how often the second is repeated")
    arguments = parser.parse_args()
    if ctypes.CDLL(None, use_errno=True).prctl(PR_SET_CHILD_SUBREAPER, 1, 0, 0, 0):
        sys.exit("this system cannot wait for the processes of a process")
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        folder = place / "pictures"
        folder.mkdir()
        files = pictures_in(arguments.folder).files
        for number, file in enumerate(itertools.islice(files, arguments.pictures)):
            path = arguments.folder / file
            shutil.copy2(path, folder / f"{number:04d}{path.suffix}")
        time.sleep(SETTLED_S)
        jobs = ["--jobs", str(arguments.jobs)]
        plan = place / "plan.toml"
        with_plan = [*jobs, "--plan", str(plan)]
        write(f"{len(list(folder.iterdir()))} pictures; processor time in seconds")
        write(f"{'audit':<22}{'main':>8}{'others':>8}{'wall':>8}{'share':>8}")
        first = audit(folder, place, jobs)
        show("first", first, first)
        for _ in range(arguments.seconds):
            show("second, unchanged", audit(folder, place, jobs), first)
        plan.write_text(PLAN.format(at="centre"), encoding="utf-8")
        show("with a plan", audit(folder, place, with_plan), first)
        show("same plan again", audit(folder, place, with_plan), first)
        plan.write_text(PLAN.format(at="left"), encoding="utf-8")
        show("plan changed", audit(folder, place, with_plan), first)
        rename_all(folder)
        show("all renamed", audit(folder, place, jobs), first)
        show("after that, unchanged", audit(folder, place, jobs), first)


def show(name: str, cost: Cost, first: Cost) -> None:
    """Print one row."""
    numbers = f"{cost.main_s:8.2f}{cost.others_s:8.2f}{cost.wall_s:8.2f}"
    write(f"{name:<22}{numbers}{cost.cpu_s / first.cpu_s:8.1%}")


def write(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
