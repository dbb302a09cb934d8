"""How many worker processes the memory has room for."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

# Resident peak of a worker that measures JPEGs of 36 megapixels: 210 MB, progressive ones 289 MB
# (``tests/benchmarks/bench_memory.py``). Other formats can take more (up to 1 GB more:
# `auditor.photograph.memory_limit`), but seldom in all workers at the same moment.
WORKER_BYTES = 300_000_000

_MEMINFO = Path("/proc/meminfo")
_OWN_GROUPS = Path("/proc/self/cgroup")
_GROUPS = Path("/sys/fs/cgroup")
_KIB = 1024


def jobs_within_memory(jobs: int, available: int | None) -> int:
    """The number of processes that fit into the memory, at least one.

    Parameters
    ----------
    jobs : int
        As many as are wanted, at least 1.
    available : int or None
        Bytes that processes can still take; None if unknown, and all are then allowed.
    """
    return jobs if available is None else max(1, min(jobs, available // WORKER_BYTES))


def available_bytes() -> int | None:
    """Memory that new processes can take without others being swapped out or killed.

    The least of what the system has, what the control groups of this process leave (version 1 or
    2: containers, services and batch systems set them), and the limit of the address space
    (``ulimit -v``). The last holds for each process alone, but whoever sets it means the whole.

    Returns
    -------
    int or None
        None where the system does not say, as on macOS and Windows.
    """
    limits = [*_of_system(), *_of_groups(), *_of_address_space()]
    return max(0, min(limits)) if limits else None


def _of_system() -> Iterator[int]:
    for line in _text(_MEMINFO).splitlines():
        if line.startswith("MemAvailable:"):
            yield int(line.split()[1]) * _KIB


def _of_groups() -> Iterator[int]:
    """What each group leaves, from that of this process up to the outermost."""
    for line in _text(_OWN_GROUPS).splitlines():
        _, controllers, path = [*line.split(":", 2), "", ""][:3]
        if not controllers:
            names = ("memory.max", "memory.current", "inactive_file ")
            yield from _of_group_and_above(_GROUPS, path, names)
        elif "memory" in controllers.split(","):
            names = ("memory.limit_in_bytes", "memory.usage_in_bytes", "total_inactive_file ")
            yield from _of_group_and_above(_GROUPS / "memory", path, names)


def _of_address_space() -> Iterator[int]:
    if sys.platform != "win32":
        import resource  # Windows has no such module

        soft, _ = resource.getrlimit(resource.RLIMIT_AS)
        if soft != resource.RLIM_INFINITY:
            yield soft


def _of_group_and_above(root: Path, path: str, names: tuple[str, str, str]) -> Iterator[int]:
    limit_file, use_file, cached = names
    group = root / path.lstrip("/")
    # In a container the path may be that outside of it, and only the root is there.
    for folder in dict.fromkeys((group, *group.parents, root)):
        if root not in (folder, *folder.parents):
            continue
        limit, use = _text(folder / limit_file).strip(), _text(folder / use_file).strip()
        if limit.isdecimal() and use.isdecimal():
            yield int(limit) - int(use) + _cached_bytes(folder, cached)


def _cached_bytes(folder: Path, name: str) -> int:
    """Of files that were read and can be dropped; they count as used."""
    for line in _text(folder / "memory.stat").splitlines():
        if line.startswith(name):
            return int(line.removeprefix(name))
    return 0


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="ascii")
    except (OSError, ValueError):
        return ""
