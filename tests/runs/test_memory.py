"""The number of processes follows the memory that there is."""

import subprocess
import sys

import pytest

from auditor.runs import memory
from auditor.runs.memory import WORKER_BYTES, available_bytes, jobs_within_memory
from tests.systems import limited

GB = 1_000_000_000


@pytest.mark.parametrize(
    ("wanted", "available", "allowed"),
    [
        (8, None, 8),
        (8, 100 * WORKER_BYTES, 8),
        (8, 3 * WORKER_BYTES + 1, 3),
        (8, 3 * WORKER_BYTES - 1, 2),
        (8, 0, 1),
        (1, WORKER_BYTES // 2, 1),
    ],
)
def test_as_many_as_fit_and_at_least_one(wanted, available, allowed):
    assert jobs_within_memory(wanted, available) == allowed


@pytest.fixture
def system(tmp_path, monkeypatch):
    """Files as those in which Linux says how much memory there is: 8 GB, no groups."""
    monkeypatch.setattr(memory, "_MEMINFO", tmp_path / "meminfo")
    monkeypatch.setattr(memory, "_OWN_GROUPS", tmp_path / "own")
    monkeypatch.setattr(memory, "_GROUPS", tmp_path / "groups")
    (tmp_path / "meminfo").write_text("MemTotal: 16000000 kB\nMemAvailable: 8000000 kB\n")
    (tmp_path / "own").write_text("")
    return tmp_path


def _group(folder, **files):
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        (folder / name.replace("_", ".", 1)).write_text(content)


def test_what_the_system_has(system):
    assert available_bytes() == 8_000_000 * 1024
    (system / "meminfo").write_text("MemTotal: 16000000 kB\n")
    assert available_bytes() is None
    (system / "meminfo").unlink()
    assert available_bytes() is None


def test_a_group_leaves_less(system):
    (system / "own").write_text("0::/service/audit\n")
    own = system / "groups" / "service" / "audit"
    _group(own, memory_max=f"{3 * GB}\n", memory_current=f"{GB}\n")
    assert available_bytes() == 2 * GB
    (own / "memory.stat").write_text(f"anon 5\ninactive_file {GB // 2}\n")
    assert available_bytes() == 2.5 * GB


def test_the_narrowest_group_above_counts(system):
    (system / "own").write_text("0::/service/audit\n")
    _group(system / "groups" / "service", memory_max=f"{2 * GB}", memory_current=f"{GB}")
    own = system / "groups" / "service" / "audit"
    _group(own, memory_max="max\n", memory_current=f"{GB}\n")
    assert available_bytes() == GB


def test_the_root_counts_where_the_path_is_one_outside_the_container(system):
    (system / "own").write_text("0::/../elsewhere/outside\n")
    _group(system / "groups", memory_max=f"{GB}", memory_current="0")
    assert available_bytes() == GB


def test_groups_of_version_1(system):
    (system / "own").write_text("5:cpu,cpuacct:/a\n4:memory:/batch\n")
    group = system / "groups" / "memory" / "batch"
    group.mkdir(parents=True)
    (group / "memory.limit_in_bytes").write_text(f"{2 * GB}\n")
    (group / "memory.usage_in_bytes").write_text(f"{3 * GB}\n")
    assert available_bytes() == 0


@limited
def test_a_limit_of_the_address_space():
    told = "from auditor.runs.memory import available_bytes; print(available_bytes())"
    limit = "import resource; resource.setrlimit(resource.RLIMIT_AS, (10**9, 10**9)); "
    done = subprocess.run(
        [sys.executable, "-c", limit + told], capture_output=True, text=True, check=True
    )
    assert int(done.stdout) <= GB


def test_this_machine_says_something_sensible():
    available = available_bytes()
    assert available is None or 0 <= available < 2**60
