"""All figures of speed in one run; by hand, on a machine that does nothing else.

    python tests/benchmarks/bench_audit.py PHOTOGRAPHS [--only NAME ...]

makes JPEGs of 24 megapixels from the photographs of a folder (with grain, so that one takes about
as long to decode as one from a camera) and prints

audit
    whole audits of 40 of them with one and with two processes: seconds by the clock, beside the
    full decode of the same JPEGs by Pillow on one core
second
    a first and a second audit of 100 of them, by the clock, and the largest resident size that the
    main process, its workers and the process that starts them had at any time
start, after, memory, picture
    what `bench_start`, `bench_after` (100, 1000 and 3000 pictures), `bench_memory` (36 megapixels)
    and `profile_picture` print

About 2 GB are needed in the folder for temporary files, and Linux for the resident sizes.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from PIL import Image, ImageChops

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).resolve().parent
SIDES = (6000, 4000)
GRAIN, QUALITY = 6.0, 92
N_AUDITED, N_REMEMBERED = 40, 100
SAMPLES_PER_S = 20


def make_pictures(photographs: list[Path], folder: Path, n: int) -> list[Path]:
    """JPEGs of 24 megapixels; where there are fewer photographs, they return mirrored."""
    generator = np.random.default_rng(0)
    grain = Image.fromarray(
        np.clip(generator.normal(64, GRAIN, (SIDES[1], SIDES[0], 3)), 0, 255).astype(np.uint8)
    )
    made = []
    for number in range(n):
        with Image.open(photographs[number % len(photographs)]) as opened:
            picture = opened.convert("RGB")
        if number >= len(photographs):
            picture = picture.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
        sides = SIDES if picture.width >= picture.height else SIDES[::-1]
        enlarged = picture.resize(sides, Image.Resampling.BICUBIC)
        own = grain if sides == SIDES else grain.transpose(Image.Transpose.ROTATE_90)
        shifted = ImageChops.offset(own, 37 * number, 53 * number)
        made.append(folder / f"{number:03d}.jpg")
        # 64 is the mean of the grain.
        ImageChops.add(enlarged, shifted, offset=-64).save(made[-1], quality=QUALITY)
        os.utime(made[-1], (0, 0))
    return made


def audit(folder: Path, scratch: Path, *options: str) -> tuple[float, dict[str, int]]:
    """Seconds by the clock of one audit, and the largest resident sizes in bytes by process."""
    sizes: dict[str, int] = {}
    start = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, "-m", "auditor", "audit", folder, "--out", scratch / "report", *options],
        env={**os.environ, "XDG_CACHE_HOME": str(scratch), "PYTHONPATH": str(ROOT)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    ) as main:
        is_over = threading.Event()
        watcher = threading.Thread(target=_watch, args=(main.pid, sizes, is_over))
        watcher.start()
        status = main.wait()
        seconds = time.perf_counter() - start
        is_over.set()
        watcher.join()
    if status:
        raise SystemExit(f"the audit of {folder} ended with status {status}")
    return seconds, sizes


def _watch(session: int, sizes: dict[str, int], is_over: threading.Event) -> None:
    """Keep the largest resident size of each process of a session."""
    while not is_over.wait(1 / SAMPLES_PER_S):
        for folder in Path("/proc").glob("[0-9]*"):
            try:
                fields = (folder / "stat").read_text().rpartition(")")[2].split()
                if int(fields[3]) != session:
                    continue
                status = (folder / "status").read_text()
            except OSError:  # it has ended
                continue
            peak = next((line for line in status.splitlines() if line.startswith("VmHWM")), None)
            if peak is not None:
                name = "main" if int(folder.name) == session else f"process {folder.name}"
                sizes[name] = max(sizes.get(name, 0), int(peak.split()[1]) * 1024)


def of_audits(pictures: list[Path], scratch: Path) -> None:
    """Audits of 40 pictures with one and with two processes, and their decode."""
    folder = scratch / "forty"
    folder.mkdir()
    for path in pictures[:N_AUDITED]:
        os.link(path, folder / path.name)
    start = time.process_time()
    for path in pictures[:N_AUDITED]:
        with Image.open(path) as picture:
            picture.load()
    decode = time.process_time() - start
    one, _ = audit(folder, scratch, "--no-memory", "--jobs", "1")
    two, _ = audit(folder, scratch, "--no-memory", "--jobs", "2")
    _say(f"full decode of {N_AUDITED} pictures on one core: {decode:.1f} s")
    _say(f"audit with one process: {one:.1f} s, {one / decode:.2f} times the decode")
    _say(f"audit with two processes: {two:.1f} s, {one / two:.2f} times as fast as with one")


def of_remembering(scratch: Path, folder: Path) -> None:
    """A first and a second audit of 100 pictures."""
    first, sizes = audit(folder, scratch, "--jobs", "2")
    second, sizes_again = audit(folder, scratch, "--jobs", "2")
    _say(f"first audit of {N_REMEMBERED} pictures: {first:.1f} s")
    _say(f"second: {second:.2f} s, {100 * second / first:.1f} % of the first")
    for name, peaks in (("first", sizes), ("second", sizes_again)):
        listed = ", ".join(f"{one} {peak / 1e6:.0f} MB" for one, peak in sorted(peaks.items()))
        _say(f"peaks of the {name}: {listed}")


def _other(script: str, *arguments: str) -> Callable[[], None]:
    def run() -> None:
        environment = {**os.environ, "OMP_NUM_THREADS": "1", "PYTHONPATH": str(ROOT)}
        command = [sys.executable, HERE / script, *arguments]
        subprocess.run(command, env=environment, check=True)

    return run


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main() -> None:
    """Make the pictures and print what was asked for, everything by default."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photographs", type=Path)
    parser.add_argument("--only", nargs="+", default=[])
    given = parser.parse_args()
    photographs = sorted(given.photographs.glob("*.jpg"))
    with tempfile.TemporaryDirectory() as name:
        scratch = Path(name)
        pictures = scratch / "hundred"
        pictures.mkdir()
        parts: dict[str, Callable[[], None]] = {
            "audit": lambda: of_audits(sorted(pictures.iterdir()), scratch),
            "second": lambda: of_remembering(scratch, pictures),
            "start": _other("bench_start.py"),
            "after": _other("bench_after.py", str(given.photographs), "100", "1000", "3000"),
            "memory": _other("bench_memory.py", "36 MP JPEG"),
            "picture": _other("profile_picture.py", str(given.photographs), "4"),
        }
        wanted = given.only or list(parts)
        if {"audit", "second"} & set(wanted):
            make_pictures(photographs, pictures, N_REMEMBERED)
        for part in wanted:
            _say(f"--- {part}")
            parts[part]()


if __name__ == "__main__":
    main()
