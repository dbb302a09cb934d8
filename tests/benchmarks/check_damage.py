"""Damaged pictures of every format, through the whole reading and measuring; run by hand.

``python tests/benchmarks/check_damage.py --mutants 5000 --seed 1`` damages small good files in many
ways (``tests/photograph/mutants.py``) and gives each to a worker process that reads and measures
it, examines it for a hand-over and looks for the area of its camera, as an audit does. It prints
how many were measured, refused, and for which reasons. A worker that dies is a crash, one that
takes more than ``--seconds`` of the processor's time, or ten times as much by the clock, a hang;
both cost that file alone. Counted as well are faults of our
own (any other error than a refusal), whatever a worker writes to standard error, and files that
were measured though a decoder reports an error in their pixels. The status is 1 if there is any.
``--only NUMBER`` runs one again, ``--keep FOLDER`` keeps the files that went wrong.
"""

from __future__ import annotations

import argparse
import logging
import multiprocessing
import os
import signal
import sys
import tempfile
import time
import warnings
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.photograph.mutants import mutant
from tests.photograph.seed_files import seed_files

MEASURED, CRASHED, HUNG = "measured", "crashed", "hung"
OWN_FAULT = "a fault of our own"
BUSY = 10  # times as long by the clock as by the processor: others work on the same machine
FAULTS = (CRASHED, HUNG, OWN_FAULT, "on standard error", "measured in spite of a decoder's error")


@dataclass
class Totals:
    """What became of the files."""

    outcomes: Counter[str] = field(default_factory=Counter)
    faults: Counter[str] = field(default_factory=Counter)
    measured_of: Counter[str] = field(default_factory=Counter)
    slowest_s: float = 0.0
    slowest: str = ""


def say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def decoder_reports_an_error(path: Path) -> bool:
    """Whether Pillow alone, or pillow-heif, raises for the pixels of a file; JPEG has no answer."""
    from PIL import Image

    from auditor.photograph.containers import HEIF, JPEG, PNG, png_without_metadata, recognise

    data = path.read_bytes()
    kind = recognise(data)
    if kind in (None, JPEG):
        return False
    if kind == PNG:  # metadata behind the pixels may be broken, and cost nothing
        path.write_bytes(png_without_metadata(data))
    opening = Image.open
    if kind == HEIF:
        from pillow_heif import HeifImageFile

        opening = HeifImageFile
    limit, Image.MAX_IMAGE_PIXELS = Image.MAX_IMAGE_PIXELS, None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with opening(path) as image:
                image.load()
    except Exception:
        return True
    finally:
        Image.MAX_IMAGE_PIXELS = limit
    return False


def outcome_of(path: Path) -> str:
    """What becomes of one file: measured, the code of its refusal, or a fault."""
    import auditor
    from auditor.delivery.examining import Examination, examine
    from auditor.errors import UnreadablePictureError
    from auditor.photograph.default_areas import read_head

    read_head(path.parent, path.name)
    examine(path.parent, Examination(path.name, path.name, with_pixels=True))
    try:
        auditor.measure(path)
    except UnreadablePictureError as error:
        return error.code
    return MEASURED


def work(tasks: Connection, messages: Path) -> None:
    """Answer each path with what became of it; standard error goes into a file."""
    errors = os.open(messages, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    os.dup2(errors, 2)
    logging.getLogger("auditor").addHandler(logging.NullHandler())
    while True:
        path = tasks.recv()
        if path is None:
            return
        try:
            outcome = outcome_of(path)
        except Exception as error:
            outcome = f"{OWN_FAULT}: {type(error).__name__}: {error}"
        n_before = messages.stat().st_size
        in_spite = outcome == MEASURED and decoder_reports_an_error(path)
        os.truncate(messages, n_before)  # what the decoder says outside of auditor
        tasks.send((outcome, in_spite))


class Worker:
    """One process, started again after a crash or a hang."""

    def __init__(self, folder: Path, number: int) -> None:
        self.folder = folder / str(number)
        self.folder.mkdir()
        self.messages = self.folder / "standard error"
        self.task: int | None = None
        self._start()

    def _start(self) -> None:
        self.messages.write_bytes(b"")
        context = multiprocessing.get_context("spawn")
        self.ours, theirs = context.Pipe()
        self.process = context.Process(target=work, args=(theirs, self.messages), daemon=True)
        self.process.start()
        theirs.close()

    def give(self, number: int, path: Path) -> None:
        self.task, self.began, self.cpu_before_s = number, time.monotonic(), self._cpu_s()
        self.ours.send(path)

    def ended(self, most_s: float) -> tuple[str, bool] | None:
        """What became of the file; None while it is being done."""
        with suppress(EOFError, ConnectionResetError):
            if self.ours.poll():
                return self.ours.recv()
        if not self.process.is_alive():
            self.process.join()
            status = self.process.exitcode
            self._start()
            return f"{CRASHED}: status {status}", False
        by_the_clock_s = time.monotonic() - self.began
        if max(self.cpu_s(), by_the_clock_s / BUSY) > most_s:
            self.process.kill()
            self.process.join()
            self._start()
            return HUNG, False
        return None

    def cpu_s(self) -> float:
        """Seconds of the processor that the file has cost so far; 0 where that is not known."""
        return self._cpu_s() - self.cpu_before_s

    def _cpu_s(self) -> float:
        try:
            fields = Path(f"/proc/{self.process.pid}/stat").read_text().rpartition(")")[2].split()
        except OSError:
            return 0.0
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def said(self) -> bytes:
        """What the process wrote to standard error since the last time."""
        text = self.messages.read_bytes()
        os.truncate(self.messages, 0)
        return text

    def close(self) -> None:
        with suppress(OSError):
            self.ours.send(None)
        self.process.join(5)
        if self.process.is_alive():
            self.process.kill()


def spread(
    numbers: list[int], seed: int, n_workers: int, most_s: float, folder: Path
) -> Iterator[tuple[str, bytes, str, bool, bytes, float]]:
    """Each file with what became of it: name, bytes, outcome, in spite, standard error, time."""
    files = seed_files()
    workers = [Worker(folder, number) for number in range(n_workers)]
    waiting = list(reversed(numbers))
    made: dict[int, tuple[str, Path, bytes]] = {}
    try:
        while waiting or any(worker.task is not None for worker in workers):
            for worker in workers:
                if worker.task is None and waiting:
                    number = waiting.pop()
                    name, what, data = mutant(number, seed, files)
                    path = worker.folder / f"{number} {name}"
                    path.write_bytes(data)
                    made[number] = (f"{number} ({name}, {what})", path, data)
                    worker.give(number, path)
                if worker.task is None:
                    continue
                cost_s = worker.cpu_s()
                done = worker.ended(most_s)
                if done is not None:
                    name, path, data = made.pop(worker.task)
                    worker.task = None
                    path.unlink()
                    yield name, data, *done, worker.said(), cost_s
            time.sleep(0.002)
    finally:
        for worker in workers:
            worker.close()


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--mutants", type=int, default=5000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--seconds", type=float, default=20)
    parser.add_argument("--only", type=int)
    parser.add_argument("--keep", type=Path)
    given = parser.parse_args()
    numbers = list(range(given.mutants)) if given.only is None else [given.only]
    totals = Totals()
    # An interrupt or a request to end is early; what was done until then is printed.
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    with suppress(KeyboardInterrupt), tempfile.TemporaryDirectory() as folder:
        for name, data, outcome, in_spite, said, seconds in spread(
            numbers, given.seed, given.jobs, given.seconds, Path(folder)
        ):
            kind = outcome.split(":")[0]
            totals.outcomes[kind] += 1
            if kind == MEASURED:
                totals.measured_of[name.split("(")[1].split(",")[0]] += 1
            if seconds > totals.slowest_s:
                totals.slowest_s, totals.slowest = seconds, name
            wrong = [outcome] if kind in FAULTS else []
            wrong += [f"{FAULTS[3]}: {said[:300]!r}"] if said.strip() else []
            wrong += [FAULTS[4]] if in_spite else []
            for one in wrong:
                totals.faults[one.split(":")[0]] += 1
                say(f"{name}: {one}")
            if wrong and given.keep is not None:
                given.keep.mkdir(exist_ok=True)
                (given.keep / name.split(",")[0].replace(" (", " ")).write_bytes(data)
    for outcome, n in totals.outcomes.most_common():
        say(f"{n:6} {outcome}")
    say(f"{sum(totals.outcomes.values()):6} in all, of {len(numbers)}")
    say(
        "measured, of each good file: "
        + ", ".join(f"{k} {n}" for k, n in sorted(totals.measured_of.items()))
    )
    say(f"slowest: {totals.slowest_s:.1f} s of the processor, {totals.slowest}")
    say("; ".join(f"{fault}: {totals.faults[fault]}" for fault in FAULTS))
    unaccounted = len(numbers) - sum(totals.outcomes.values())
    return int(bool(totals.faults) or unaccounted != 0)


if __name__ == "__main__":
    sys.exit(main())
