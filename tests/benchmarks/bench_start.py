"""Processor time that each command and a measuring worker take to start; run by hand.

``python tests/benchmarks/bench_start.py`` prints user and system time of new processes, the median
of several, with compiled modules (bytecode) in place; the times of Python alone and of importing
numpy tell how fast the machine is just now. The commands run on the sample report and on the demo
plan: to draw a page again is part of ``report``, to compare is part of ``compare``. Nothing
outside a temporary folder is written.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
N_STARTS = 5
WORKER = (
    "import auditor.measurements.measured_photograph, auditor.photograph.decode, "
    "auditor.output.previews, auditor.saliency; auditor.saliency.default_finder()"
)


def programs(report: Path, folder: Path) -> dict[str, list[str]]:
    """Arguments of Python for each start that is timed."""
    plan = str(ROOT / "fixtures" / "teahouse" / "plan.toml")
    commands = {
        "auditor --version": ["--version"],
        "auditor --help": ["--help"],
        "auditor audit --help": ["audit", "--help"],
        "auditor schema": ["schema"],
        "auditor plan words": ["plan", "words"],
        "auditor plan check": ["plan", "check", plan],
        "auditor plan sheet, small": ["plan", "sheet", plan, "--size", "300x200"],
        "auditor delivery check": ["delivery", "check", "client"],
        "auditor delivery example": ["delivery", "example", "client"],
        "auditor compare": ["compare", str(report), str(report)],
        "auditor report": ["report", str(report)],
        "auditor shoots": ["shoots", "--out", str(folder / "shoots")],
        "auditor forget": ["forget"],
    }
    return {
        "Python": ["-c", "pass"],
        "numpy": ["-c", "import numpy"],
        "scipy.ndimage": ["-c", "import scipy.ndimage"],
        "a measuring worker": ["-c", WORKER],
        "all modules of an audit": ["-c", "import auditor.audit_steps"],
        **{name: ["-m", "auditor", *arguments] for name, arguments in commands.items()},
    }


def cpu_s(arguments: list[str], folder: Path) -> float:
    """User and system time in seconds of a new Python process."""
    environment = {
        **os.environ,
        "PYTHONPATH": str(ROOT),
        "PYTHONPYCACHEPREFIX": str(folder / "bytecode"),
        "OMP_NUM_THREADS": "1",
        "XDG_CACHE_HOME": str(folder / "cache"),
    }
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    process = subprocess.Popen(
        [sys.executable, *arguments],
        cwd=folder,
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise RuntimeError(f"{arguments} ended with {process.returncode}")
    return usage.ru_utime + usage.ru_stime


def main() -> None:
    """Time all starts in a temporary folder."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        report = folder / "report"
        shutil.copytree(ROOT / "reports" / "teahouse", report)
        for label, arguments in programs(report, folder).items():
            cpu_s(arguments, folder)  # compiles what is not compiled yet
            seconds = median(cpu_s(arguments, folder) for _ in range(N_STARTS))
            sys.stdout.write(f"{label:<26} {seconds:.3f} s\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
