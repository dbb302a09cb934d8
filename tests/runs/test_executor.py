"""Tasks spread over processes, and what happens when a process is killed."""

import logging
import math
import os
import signal
import warnings
from functools import partial

import pytest

from auditor.runs.executor import Killed, WorkersCannotStartError, default_jobs, spread

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
            assert results[index] == Killed()
        else:
            name, process = results[index]
            assert (name, process != os.getpid()) == (task, True)


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_task_whose_process_was_killed_is_tried_once_more(tmp_path, jobs):
    function = partial(kill_own_process_once, tmp_path / "marker")
    assert dict(spread(function, ["a", "b", "c"], jobs)) == {0: "a", 1: "b", 2: "c"}


def test_processes_that_cannot_start_are_no_fault_of_a_task():
    with pytest.raises(WorkersCannotStartError, match="__main__"):
        list(spread(CannotBeLoaded(), ["a", "b"], 2))


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
