"""Time and memory of one call of the finder, on one core, in a separate process.

`check_cost` runs this file as a program with its libraries limited to one thread.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
import tracemalloc
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np
from PIL import Image

from auditor.photograph.photograph import WORKING_SIDE_PX
from auditor.saliency.network import trained_finder

N_PICTURES = 100
ONE_CORE = dict.fromkeys(
    ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "BLIS_NUM_THREADS"), "1"
)


def check_cost(folder: Path) -> dict[str, str]:
    """Measure in a fresh process, whose libraries start with one thread each."""
    answer = subprocess.run(
        [sys.executable, __file__, str(folder)],
        env=os.environ | ONE_CORE,
        check=True,
        capture_output=True,
        text=True,
    )
    rows: dict[str, str] = json.loads(answer.stdout)
    return rows


def measure_here(folder: Path) -> dict[str, str]:
    """Measure in this process, which must not have called the finder before.

    Time is processor time, which a busy machine affects only through shared caches. Memory is
    measured twice: the peak growth of the resident process during its first call, weights included,
    as reported by Linux (ru_maxrss of getrusage would start with the peak of the parent process),
    and the peak of Python and numpy allocations during a later call.
    """
    paths = sorted(folder.glob("*.jpg"))[:N_PICTURES]
    first = _enlarged(paths[0])
    before_kib = _memory_kib("VmRSS")
    Path("/proc/self/clear_refs").write_text("5")  # resets the peak: proc(5)
    trained_finder().find(first)
    grown_kib = _memory_kib("VmHWM") - before_kib
    times_s = []
    for path in paths:
        pixels = _enlarged(path)
        start = time.process_time()
        trained_finder().find(pixels)
        times_s.append(time.process_time() - start)
    tracemalloc.start()
    trained_finder().find(first)
    peak_bytes = tracemalloc.get_traced_memory()[1]
    return {
        "pictures": f"{len(paths)} of {WORKING_SIDE_PX} px",
        "time a picture, one core, median": f"{1000 * median(times_s):.0f} ms",
        "time a picture, one core, fastest": f"{1000 * min(times_s):.0f} ms",
        "memory added by the first call": f"{grown_kib / 1024:.0f} MiB",
        "peak of arrays in a later call": f"{peak_bytes / 2**20:.0f} MiB",
    }


def _memory_kib(name: str) -> int:
    for line in Path("/proc/self/status").read_text(encoding="ascii").splitlines():
        if line.startswith(name):
            return int(line.split()[1])
    raise LookupError(name)


def _enlarged(path: Path) -> np.ndarray:
    with Image.open(path) as file:
        picture = file.convert("RGB")
    scale = WORKING_SIDE_PX / max(picture.size)
    size = (round(picture.width * scale), round(picture.height * scale))
    return np.asarray(picture.resize(size, Image.Resampling.BICUBIC))


if __name__ == "__main__":
    sys.stdout.write(json.dumps(measure_here(Path(sys.argv[1]))))
