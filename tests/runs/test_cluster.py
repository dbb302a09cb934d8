"""A cluster on this machine: a scheduler and two workers, each a process of its own."""

import json
import os
import re
import signal
import subprocess
import sys
import threading
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest

pytest.importorskip("distributed")

from auditor.audit_request import AuditRequest
from auditor.audit_steps import audit
from auditor.errors import UnusableArgumentError
from auditor.runs import cluster as module
from auditor.runs.cluster import Cluster
from auditor.runs.single_thread import SINGLE_THREADED
from auditor.runs.workers import Lost
from tests.conftest import ROOT, draw_dish

N_PICTURES = 8
CREATED = datetime(2026, 1, 1, tzinfo=UTC)
ENVIRONMENT = {**os.environ, **SINGLE_THREADED, "PYTHONPATH": str(ROOT)}
KILL = getattr(signal, "SIGKILL", signal.SIGTERM)
DEADLY, SLOW = "deadly", "slow"
LIMIT_S, SLOW_S = 6.0, 9.0  # the worker does not end itself within that time


def started(folder, *words, until, **environment):
    """Start a program of the cluster, and wait for what it says when it is ready."""
    log = folder / f"{time.monotonic_ns()}.log"
    with log.open("wb") as written:
        process = subprocess.Popen(
            [sys.executable, "-m", "distributed.cli." + words[0], *words[1:]],
            cwd=folder,
            env={**ENVIRONMENT, **environment},
            stdout=written,
            stderr=written,
        )
    give_up = time.monotonic() + 60
    while time.monotonic() < give_up:
        if found := re.search(until, log.read_text(encoding="utf-8", errors="replace")):
            return process, found
        time.sleep(0.05)
    process.kill()
    raise AssertionError(log.read_text(encoding="utf-8", errors="replace"))


class Machines:
    """A scheduler with workers."""

    def __init__(self, folder):
        self._folder = folder
        words = ("dask_scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard")
        self._scheduler, found = started(folder, *words, until=r"Scheduler at:\s+(tcp://\S+)")
        self.address = found[1]
        self.workers = []

    def add_worker(self, *options, **environment):
        words = ("dask_worker", self.address, "--nthreads", "1", "--no-nanny", "--no-dashboard")
        process, _ = started(
            self._folder, *words, *options, until="Starting established", **environment
        )
        self.workers.append(process)

    def close(self):
        for process in (*self.workers, self._scheduler):
            process.kill()
            process.wait()


@pytest.fixture(scope="module")
def machines(tmp_path_factory):
    folder = tmp_path_factory.mktemp("cluster")
    found = Machines(folder)
    try:
        for _ in range(2):
            found.add_worker("--local-directory", str(folder))
        yield found
    finally:
        found.close()


@pytest.fixture(scope="module")
def pictures(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pictures") / "set"
    folder.mkdir()
    for number in range(N_PICTURES):
        dish = draw_dish((0.3 + 0.05 * number, 0.5), seed=number)
        dish.save(folder / f"{number}.jpg", quality=90)
    (folder / "broken.jpg").write_bytes(b"\xff\xd8\xff nothing more")
    return folder


def report_of(folder, directory, scheduler=None, progress=lambda *_: None):
    request = AuditRequest(
        folder,
        None,
        directory,
        jobs=2,
        store=None,
        created=CREATED,
        scheduler=scheduler,
        proofs=True,
    )
    audit(request, progress)
    return {
        path.relative_to(directory).as_posix(): path.read_bytes()
        for path in directory.rglob("*")
        if path.is_file()
    }


def test_the_report_is_the_same_when_a_worker_is_killed_midway(machines, pictures, tmp_path):
    here = report_of(pictures, tmp_path / "here")
    machines.add_worker("--local-directory", str(tmp_path))
    killed = []

    def kill_one(n_done, _total, _file):
        if n_done == 2 and not killed:
            killed.append(machines.workers.pop())
            killed[0].send_signal(KILL)

    there = report_of(pictures, tmp_path / "there", machines.address, kill_one)
    killed[0].wait()
    assert there == here
    assert len(json.loads(here["audit.json"])["images"]) == N_PICTURES + 1


def kill_own_process_if_deadly(task):
    if task == DEADLY:
        os.kill(os.getpid(), KILL)
    return task


def sleep_if_slow(task):
    if task == SLOW:
        time.sleep(SLOW_S)
    return task


def test_a_task_that_kills_every_worker_costs_no_other(tmp_path, pictures):
    machines = Machines(tmp_path)
    stop = threading.Event()

    def watch_over():
        """Start a worker again when one is lost, as a nanny does."""
        while not stop.is_set():
            if all(worker.poll() is not None for worker in machines.workers):
                machines.add_worker("--local-directory", str(tmp_path))
            time.sleep(0.1)

    machines.add_worker("--local-directory", str(tmp_path))
    watcher = threading.Thread(target=watch_over)
    watcher.start()
    try:
        cluster = Cluster(machines.address, pictures)
        tasks = ["a", DEADLY, "b"]
        results = dict(cluster.spread(kill_own_process_if_deadly, tasks, 60.0))
        cluster.close()
    finally:
        stop.set()
        watcher.join()
        machines.close()
    assert results == {0: "a", 1: Lost.KILLED, 2: "b"}


def test_a_task_that_takes_too_long_costs_no_other(machines, pictures):
    cluster = Cluster(machines.address, pictures)
    assert len(dict(cluster.spread(sleep_if_slow, ["a", "b"], 60.0))) == 2  # all is loaded now
    results = dict(cluster.spread(sleep_if_slow, ["a", SLOW, "b"], LIMIT_S))
    cluster.close()
    assert results == {0: "a", 1: Lost.TOO_SLOW, 2: "b"}


def test_the_cluster_stays_for_the_next_audit(machines, pictures):
    for _ in range(2):
        cluster = Cluster(machines.address, pictures)
        assert dict(cluster.spread(sleep_if_slow, ["a"], 60.0)) == {0: "a"}
        cluster.close()


def test_a_fault_of_the_function_reaches_the_caller(machines, pictures):
    cluster = Cluster(machines.address, pictures)
    with pytest.raises(FileNotFoundError):
        list(cluster.spread(Path.stat, [pictures / "nothing"], 60.0))
    cluster.close()


def test_a_worker_of_another_version_is_refused(machines, pictures, monkeypatch):
    monkeypatch.setattr(module, "versions", lambda: ("another",) * 5)
    with pytest.raises(UnusableArgumentError, match="another version than here") as caught:
        Cluster(machines.address, pictures)
    assert len(str(caught.value).splitlines()) == 2


def test_a_worker_that_joins_later_with_another_version_is_refused(machines, pictures, monkeypatch):
    cluster = Cluster(machines.address, pictures)
    monkeypatch.setattr(module, "versions", lambda: ("another",) * 5)
    with pytest.raises(UnusableArgumentError, match="a worker joined"):
        list(cluster.spread(sleep_if_slow, ["a"], 60.0))
    cluster.close()


def test_a_folder_that_workers_do_not_see_is_refused(machines, tmp_path):
    with pytest.raises(UnusableArgumentError, match=r"does not see .*nowhere"):
        Cluster(machines.address, tmp_path / "nowhere")


def test_workers_with_several_threads_are_refused(tmp_path, pictures):
    machines = Machines(tmp_path)
    try:
        machines.add_worker("--local-directory", str(tmp_path), OMP_NUM_THREADS="2")
        with pytest.raises(UnusableArgumentError, match="OMP_NUM_THREADS"):
            Cluster(machines.address, pictures)
    finally:
        machines.close()


def test_a_cluster_without_workers_is_refused(tmp_path, pictures):
    machines = Machines(tmp_path)
    try:
        with pytest.raises(UnusableArgumentError, match="has no workers"):
            Cluster(machines.address, pictures)
    finally:
        machines.close()


def test_an_address_without_a_scheduler_is_refused(call_auditor, pictures, monkeypatch):
    monkeypatch.setattr(module, "CONNECTING_S", 0.5)
    for address in ("tcp://127.0.0.1:1", "nonsense://x", "127.0.0.1"):
        done = call_auditor("audit", pictures, "--scheduler", address, "--out", "report")
        assert done.returncode == 2
        assert "no scheduler answers there" in done.stderr
        assert "Traceback" not in done.stderr


def test_a_lost_scheduler_is_said_and_the_rest_given_up(tmp_path, pictures):
    machines = Machines(tmp_path)
    machines.add_worker("--local-directory", str(tmp_path))
    cluster = Cluster(machines.address, pictures)
    results = cluster.spread(sleep_if_slow, ["a", SLOW], 60.0)
    assert next(results) == (0, "a")
    machines.close()
    with pytest.raises(UnusableArgumentError, match=r"scheduler is lost|no workers"):
        list(results)
    cluster.close()
