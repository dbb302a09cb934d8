"""Tasks spread over processes, and what happens when a process is killed or hangs."""

import ctypes
import logging
import math
import multiprocessing
import os
import signal
import subprocess
import sys
import time
import types
import warnings
from functools import partial
from pathlib import Path
from pickle import PicklingError

import pytest

from auditor.runs.processes import Processes
from auditor.runs.workers import Lost, WorkersCannotStartError, default_jobs
from tests.conftest import ROOT

# Windows has no SIGKILL; there, SIGTERM ends a process at once.
KILL = getattr(signal, "SIGKILL", signal.SIGTERM)
DEADLY = "deadly"


def kill_own_process_if_deadly(task):
    if task == DEADLY:
        os.kill(os.getpid(), KILL)
    return task, os.getpid()


def kill_own_process_once(marker, task):
    """Kill the process of the first task that finds no marker; it is the only victim."""
    try:
        marker.touch(exist_ok=False)
    except FileExistsError:
        return task
    os.kill(os.getpid(), KILL)
    return "not reached"


def log_a_traceback(task):
    logger = logging.getLogger("auditor.a.room")
    logger.info("starting %s", task)
    logger.debug("not asked for")
    try:
        math.sqrt(task)
    except ValueError:
        logger.exception("%s has no root", task)
    return task


def log_as_other_packages_do(task):
    logging.getLogger("PIL.TiffImagePlugin").error("from another package")
    warnings.warn("from numpy, for example", RuntimeWarning, stacklevel=1)
    return task


LIMIT_S = 60.0


def spread(function, tasks, jobs, limit_s=LIMIT_S):
    """The results of tasks, from processes that end afterwards."""
    workers = Processes(jobs)
    try:
        yield from workers.spread(function, tasks, limit_s)
    finally:
        workers.close()


def hang_if_deadly(task):
    """Hang so that not even another thread of the process has a turn."""
    if task == DEADLY:
        ctypes.PyDLL(None).sleep(1000)
    return task


def own_process(_task):
    return os.getpid()


def return_what_cannot_be_sent(_task):
    return lambda: None


class CannotBeLoaded:
    """A function that ends every process which loads it."""

    def __reduce__(self):
        return os._exit, (3,)

    def __call__(self, task):
        return task


@pytest.mark.parametrize("jobs", [1, 2])
def test_every_task_is_done_once(jobs):
    tasks = [float(n) for n in range(7)]
    results = dict(spread(math.sqrt, tasks, jobs))
    assert results == {index: math.sqrt(task) for index, task in enumerate(tasks)}


def test_no_task_is_no_work():
    assert list(spread(math.sqrt, [], 2)) == []


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_fault_of_the_function_reaches_the_caller(jobs):
    with pytest.raises(ValueError, match=r"nonnegative|math domain"):
        list(spread(math.sqrt, [4.0, -1.0, 9.0], jobs))


@pytest.mark.parametrize("jobs", [1, 3])
@pytest.mark.parametrize("tasks", [["a", DEADLY, "b", "c"], [DEADLY, "a", "b", DEADLY], [DEADLY]])
def test_a_deadly_task_costs_no_other(tasks, jobs):
    results = dict(spread(kill_own_process_if_deadly, tasks, jobs))
    assert sorted(results) == list(range(len(tasks)))
    for index, task in enumerate(tasks):
        if task == DEADLY:
            assert results[index] == Lost.KILLED
        else:
            name, process = results[index]
            assert (name, process != os.getpid()) == (task, True)


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_task_whose_process_was_killed_is_tried_once_more(tmp_path, jobs):
    function = partial(kill_own_process_once, tmp_path / "marker")
    assert dict(spread(function, ["a", "b", "c"], jobs)) == {0: "a", 1: "b", 2: "c"}


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs the C library's sleep")
@pytest.mark.parametrize("jobs", [1, 2])
def test_a_task_that_hangs_costs_no_other_and_no_time(jobs):
    before = time.monotonic()
    results = dict(spread(hang_if_deadly, ["a", DEADLY, "b"], jobs, limit_s=3.0))
    assert results == {0: "a", 1: Lost.TOO_SLOW, 2: "b"}
    assert time.monotonic() - before < 60


def test_an_error_that_cannot_be_sent_is_an_error_all_the_same():
    with pytest.raises((AttributeError, TypeError, PicklingError)):
        list(spread(return_what_cannot_be_sent, ["a"], 1))


def test_processes_are_kept_from_one_call_to_the_next():
    workers = Processes(1)
    first, second = (dict(workers.spread(own_process, ["a"], LIMIT_S)) for _ in range(2))
    workers.close()
    assert first == second


def test_what_nobody_waits_for_is_ended():
    workers = Processes(2)
    results = workers.spread(hang_if_deadly, ["a", DEADLY], LIMIT_S)
    assert next(results) == (0, "a")
    before = time.monotonic()
    results.close()
    workers.close()
    assert time.monotonic() - before < LIMIT_S / 2


def test_no_process_is_started_for_no_task():
    before = multiprocessing.active_children()
    workers = Processes(2)
    assert list(workers.spread(own_process, [], LIMIT_S)) == []
    assert multiprocessing.active_children() == before
    workers.close()


MAIN = """
import os, sys
from auditor.runs.processes import Processes
from tests.runs.test_processes import say_and_wait

if __name__ == "__main__":
    list(Processes(2).spread(say_and_wait, ["a", "b"], 60.0))
"""


def say_and_wait(_task):
    sys.stdout.write(f"{os.getpid()}\n")
    sys.stdout.flush()
    time.sleep(50)


def is_running(process):
    """Whether a process is there, and not only its exit status."""
    try:
        state = Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    except FileNotFoundError:
        return False
    return state[0] != "Z"


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="processes are looked for in /proc")
def test_workers_end_when_only_the_main_process_is_killed(tmp_path):
    (tmp_path / "main.py").write_text(MAIN, encoding="utf-8")
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    with subprocess.Popen(
        [sys.executable, tmp_path / "main.py"], stdout=subprocess.PIPE, text=True, env=environment
    ) as main:
        workers = [int(main.stdout.readline()) for _ in range(2)]
        assert all(is_running(worker) for worker in workers)
        main.kill()
    until = time.monotonic() + 20
    while any(is_running(worker) for worker in workers) and time.monotonic() < until:
        time.sleep(0.05)
    assert not any(is_running(worker) for worker in workers)


def test_processes_that_cannot_start_are_no_fault_of_a_task():
    with pytest.raises(WorkersCannotStartError, match="__main__"):
        list(spread(CannotBeLoaded(), ["a", "b"], 2))


def test_why_a_function_cannot_be_loaded_elsewhere_is_said(monkeypatch):
    module = types.ModuleType("only_here")
    exec("def function(task): return task", module.__dict__)  # noqa: S102 - as in a notebook
    monkeypatch.setitem(sys.modules, "only_here", module)
    with pytest.raises(WorkersCannotStartError, match="module that other processes") as caught:
        list(spread(module.function, ["a", "b"], 2))
    assert isinstance(caught.value.__cause__, ModuleNotFoundError)


@pytest.fixture
def log():
    """What reaches a handler of our parent logger, as the command's ``--log`` has one."""
    records = []
    handler = logging.Handler()
    handler.emit = records.append
    logger = logging.getLogger("auditor")
    level = logger.level
    logger.addHandler(handler)
    logger.setLevel(logging.INFO)
    yield records
    logger.setLevel(level)
    logger.removeHandler(handler)


def test_a_traceback_in_a_worker_reaches_the_log_of_the_main_process(log):
    assert dict(spread(log_a_traceback, [-1.0], 1)) == {0: -1.0}
    assert [record.name for record in log] == ["auditor.a.room"] * 2
    starting, failed = (record.getMessage() for record in log)
    assert starting == "starting -1.0"
    assert failed.startswith("-1.0 has no root\nTraceback (most recent call last):")
    assert "ValueError" in failed


def test_what_other_packages_log_in_a_worker_reaches_our_log(log, capfd):
    assert dict(spread(log_as_other_packages_do, ["a"], 1)) == {0: "a"}
    assert [record.name for record in log] == ["PIL.TiffImagePlugin", "py.warnings"]
    error, warning = (record.getMessage() for record in log)
    assert error == "from another package"
    assert "RuntimeWarning: from numpy, for example" in warning
    assert capfd.readouterr().err == ""


def test_at_least_one_job():
    assert default_jobs() >= 1
