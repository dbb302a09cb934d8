"""A cluster on this machine: a scheduler and two workers, each a process of its own."""

import json
import os
import re
import subprocess
import sys
import threading
import time
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

import dask
import pytest

from auditor.audit_request import AuditRequest
from auditor.audit_steps import audit
from auditor.errors import UnusableArgumentError
from auditor.runs import cluster as module
from auditor.runs.cluster import Cluster
from auditor.runs.single_thread import SINGLE_THREADED
from auditor.runs.workers import Lost
from tests.conftest import ROOT, draw_dish
from tests.runs.cluster_tasks import (
    DEADLY,
    KILL,
    SLOW,
    kill_own_process_if_deadly,
    wait_if_slow,
)

N_PICTURES = 5
CREATED = datetime(2026, 1, 1, tzinfo=UTC)
ENVIRONMENT = {**os.environ, **SINGLE_THREADED, "PYTHONPATH": str(ROOT)}
LIMIT_S = 6.0  # of a slow task; the others come back at once, also on a busy machine
MOST_S = 300.0


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
    give_up = time.monotonic() + MOST_S
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

    def add_worker(self, **environment):
        words = ("dask_worker", self.address, "--nthreads", "1", "--no-nanny", "--no-dashboard")
        words += ("--local-directory", str(self._folder))
        process, _ = started(self._folder, *words, until="Starting established", **environment)
        self.workers.append(process)

    def close(self):
        for process in (*self.workers, self._scheduler):
            process.kill()
            process.wait()


@contextmanager
def started_machines(folder, n_workers):
    with closing(Machines(folder)) as found:
        for _ in range(n_workers):
            found.add_worker()
        yield found


@pytest.fixture(scope="module")
def machines(tmp_path_factory):
    with started_machines(tmp_path_factory.mktemp("cluster"), 2) as found:
        yield found


@pytest.fixture
def lonely(tmp_path):
    """A cluster with one worker."""
    with started_machines(tmp_path, 1) as found:
        yield found


@pytest.fixture
def wait_here(tmp_path):
    """Gives tasks back; a slow one is done when the test is."""
    yield partial(wait_if_slow, released=tmp_path / "released")
    (tmp_path / "released").touch()


@pytest.fixture(scope="module")
def pictures(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pictures") / "set"
    folder.mkdir()
    for number in range(N_PICTURES):
        dish = draw_dish((0.4 + 0.05 * number, 0.5), seed=number, size=(480, 360))
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
    machines.add_worker()
    killed = []

    def kill_one(n_done, _total, _file):
        if n_done == 2 and not killed:
            killed.append(machines.workers.pop())
            killed[0].send_signal(KILL)

    there = report_of(pictures, tmp_path / "there", machines.address, kill_one)
    killed[0].wait()
    assert there == here
    assert len(json.loads(here["audit.json"])["images"]) == N_PICTURES + 1


def test_a_task_that_kills_every_worker_costs_no_other(lonely, pictures):
    stop = threading.Event()

    def watch_over():
        """Start a worker again when one is lost, as a nanny does."""
        while not stop.is_set():
            if all(worker.poll() is not None for worker in lonely.workers):
                lonely.add_worker()
            time.sleep(0.1)

    watcher = threading.Thread(target=watch_over)
    watcher.start()
    try:
        cluster = Cluster(lonely.address, pictures)
        tasks = ["a", DEADLY, "b"]
        results = dict(cluster.spread(kill_own_process_if_deadly, tasks, MOST_S))
        cluster.close()
    finally:
        stop.set()
        watcher.join()
    assert results == {0: "a", 1: Lost.KILLED, 2: "b"}


def test_a_task_that_takes_too_long_costs_no_other(machines, pictures, wait_here):
    cluster = Cluster(machines.address, pictures)
    assert len(dict(cluster.spread(wait_here, ["a", "b"], MOST_S))) == 2  # all is loaded now
    results = dict(cluster.spread(wait_here, ["a", SLOW, "b"], LIMIT_S))
    cluster.close()
    assert results == {0: "a", 1: Lost.TOO_SLOW, 2: "b"}


def test_the_cluster_stays_for_the_next_audit(machines, pictures, wait_here):
    for _ in range(2):
        cluster = Cluster(machines.address, pictures)
        assert dict(cluster.spread(wait_here, ["a"], MOST_S)) == {0: "a"}
        cluster.close()


def test_a_fault_of_the_function_reaches_the_caller(machines, pictures):
    cluster = Cluster(machines.address, pictures)
    with pytest.raises(FileNotFoundError):
        list(cluster.spread(Path.stat, [pictures / "nothing"], MOST_S))
    cluster.close()


def test_a_worker_of_another_version_is_refused(machines, pictures, monkeypatch):
    monkeypatch.setattr(module, "versions", lambda: ("another",) * 5)
    with pytest.raises(UnusableArgumentError, match="another version than here") as caught:
        Cluster(machines.address, pictures)
    assert len(str(caught.value).splitlines()) == 2


def test_a_worker_that_joins_later_with_another_version_is_refused(
    machines, pictures, wait_here, monkeypatch
):
    cluster = Cluster(machines.address, pictures)
    monkeypatch.setattr(module, "versions", lambda: ("another",) * 5)
    with pytest.raises(UnusableArgumentError, match="a worker joined"):
        list(cluster.spread(wait_here, ["a"], MOST_S))
    cluster.close()


def test_a_folder_that_workers_do_not_see_is_refused(machines, tmp_path):
    with pytest.raises(UnusableArgumentError, match=r"does not see .*nowhere"):
        Cluster(machines.address, tmp_path / "nowhere")


def test_a_cluster_without_workers_or_with_one_of_several_threads_is_refused(tmp_path, pictures):
    with started_machines(tmp_path, 0) as machines:
        with pytest.raises(UnusableArgumentError, match="has no workers"):
            Cluster(machines.address, pictures)
        machines.add_worker(OMP_NUM_THREADS="2")
        with pytest.raises(UnusableArgumentError, match="OMP_NUM_THREADS"):
            Cluster(machines.address, pictures)


def test_an_address_without_a_scheduler_is_refused(call_auditor, pictures, monkeypatch):
    monkeypatch.setattr(module, "CONNECTING_S", 0.5)
    for address in ("tcp://127.0.0.1:1", "nonsense://x", "127.0.0.1"):
        done = call_auditor("audit", pictures, "--scheduler", address, "--out", "report")
        assert done.returncode == 2
        assert "no scheduler answers there" in done.stderr
        assert "Traceback" not in done.stderr


def test_a_lost_scheduler_is_said_and_the_rest_given_up(lonely, pictures, wait_here, monkeypatch):
    monkeypatch.setattr(module, "WITHOUT_WORKERS_S", 2.0)
    with dask.config.set({"distributed.comm.timeouts.connect": "2s"}):  # to find it again
        cluster = Cluster(lonely.address, pictures)
    results = cluster.spread(wait_here, ["a", SLOW], MOST_S)
    assert next(results) == (0, "a")
    lonely.close()
    with pytest.raises(UnusableArgumentError, match=r"scheduler is lost|no workers"):
        list(results)
    cluster.close()
