"""Where the processor time of one picture goes, room by room; run by hand.

    OMP_NUM_THREADS=1 python tests/benchmarks/profile_picture.py FOLDER [number]

makes pictures of 1200 px, 24 and 36 megapixels from some photographs of FOLDER (with added grain,
so that the JPEG is about as hard to decode as one from a camera), reads and measures them like the
program, and encodes their previews. Prints the processor time of each part (the median of some
runs, the mean over the photographs), its share of the whole, and the ratio of the whole to the full
decode of the same JPEG by Pillow. A part is what `measured_photograph` calls.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from statistics import mean, median
from types import FunctionType

import numpy as np
from numpy.typing import NDArray
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.measurements import measured_photograph
from auditor.output.previews import encode_preview
from auditor.photograph.decode import read_photograph
from auditor.saliency import default_finder
from auditor.saliency.finder import SubjectFinder, SubjectMaps

_LONGEST_SIDE_PX = {"1200 px": 1200, "24 megapixels": 6000, "36 megapixels": 7360}
_GRAIN = 6.0  # 8-bit levels: the JPEG then has about 0.4 bytes a pixel, as in `bench_read`
_QUALITY = 92
_N_RUNS = 3
_N_PHOTOGRAPHS = 8

Times = dict[str, float]


class _Timer:
    """Processor time by name, ms."""

    def __init__(self) -> None:
        self.times_ms: Times = {}

    @contextmanager
    def part(self, name: str) -> Iterator[None]:
        """Add the time of the block to a name."""
        start = time.process_time()
        yield
        self.times_ms[name] = self.times_ms.get(name, 0.0) + 1000 * (time.process_time() - start)

    def timed(self, function: Callable[..., object], name: str) -> Callable[..., object]:
        """The function, with its time added to a name."""

        @wraps(function)
        def run(*args: object, **options: object) -> object:
            with self.part(name):
                return function(*args, **options)

        return run


class _TimedFinder:
    """A finder whose time is added to a name."""

    def __init__(self, finder: SubjectFinder, timer: _Timer) -> None:
        self._finder, self._timer = finder, timer

    def find(self, pixels: NDArray[np.uint8]) -> SubjectMaps:
        """The maps of the finder."""
        with self._timer.part("finder of the subject"):
            return self._finder.find(pixels)


@contextmanager
def _parts_timed(timer: _Timer) -> Iterator[None]:
    """Time each function that `measured_photograph` imports from a room."""
    rooms = {
        name: member
        for name, member in vars(measured_photograph).items()
        if isinstance(member, FunctionType)
        and member.__module__.startswith("auditor.")
        and member.__module__ != measured_photograph.__name__
    }
    for name, function in rooms.items():
        setattr(measured_photograph, name, timer.timed(function, name.removeprefix("measure_")))
    try:
        yield
    finally:
        for name, function in rooms.items():
            setattr(measured_photograph, name, function)


def enlarged(path: Path, longest_side_px: int, rng: np.random.Generator) -> Image.Image:
    """A photograph at another size, with added grain."""
    with Image.open(path) as opened:
        picture = opened.convert("RGB")
    scale = longest_side_px / max(picture.size)
    width, height = (round(side * scale) for side in picture.size)
    larger = np.asarray(picture.resize((width, height), Image.Resampling.BICUBIC))
    noisy = larger + rng.normal(0, _GRAIN, (height, width, 1)).astype(np.float32)
    return Image.fromarray(np.clip(np.rint(noisy), 0, 255).astype(np.uint8))


def times_of(folder: Path, file: str, finder: SubjectFinder) -> Times:
    """Median time of each part over some runs, ms; also of "all" and of "full decode"."""
    runs = [_one_run(folder, file, finder) for _ in range(_N_RUNS + 1)][1:]
    names = list(dict.fromkeys(name for run in runs for name in run))
    return {name: median(run.get(name, 0.0) for run in runs) for name in names}


def _one_run(folder: Path, file: str, finder: SubjectFinder) -> Times:
    timer = _Timer()
    with timer.part("full decode"), Image.open(folder / file) as image:
        image.load()
    with timer.part("all"):
        with timer.part("read"):
            photograph = read_photograph(folder, file)
        with timer.part("measure"), _parts_timed(timer):
            measured_photograph.measure(photograph, _TimedFinder(finder, timer))
        with timer.part("preview"):
            encode_preview(photograph.pixels)
    return timer.times_ms


def _print(label: str, times: list[Times]) -> None:
    names = list(dict.fromkeys(name for of_one in times for name in of_one))
    # The mean, since medians of the parts would not add up to that of the whole.
    means = {name: mean(of_one.get(name, 0.0) for of_one in times) for name in names}
    whole, decode, measuring = (means.pop(name) for name in ("all", "full decode", "measure"))
    rest = measuring - sum(ms for name, ms in means.items() if name not in ("read", "preview"))
    lines = [f"{label}: {whole:.0f} ms, {whole / decode:.2f} of the full decode ({decode:.0f} ms)"]
    lines.append(f"  {'all measurements':36s}{measuring:8.1f} ms {measuring / whole:6.1%}")
    ordered = sorted(means.items(), key=lambda item: -item[1])
    lines += [f"  {name:36s}{ms:8.1f} ms {ms / whole:6.1%}" for name, ms in ordered]
    lines.append(f"  {'between the measurements':36s}{rest:8.1f} ms {rest / whole:6.1%}")
    sys.stdout.write("\n".join(lines) + "\n")
    sys.stdout.flush()


def main() -> None:
    """Print a table for each size."""
    folder = Path(sys.argv[1])
    wanted = int(sys.argv[2]) if len(sys.argv) > 2 else _N_PHOTOGRAPHS
    found = sorted(folder.glob("*.jpg"))
    chosen = found[:: max(1, len(found) // wanted)][:wanted]
    finder = default_finder()
    with tempfile.TemporaryDirectory() as name:
        for label, longest_side_px in _LONGEST_SIDE_PX.items():
            rng, times = np.random.default_rng(0), []
            for path in chosen:
                picture = enlarged(path, longest_side_px, rng)
                picture.save(Path(name) / "picture.jpg", quality=_QUALITY)
                times.append(times_of(Path(name), "picture.jpg", finder))
            _print(label, times)


if __name__ == "__main__":
    main()
