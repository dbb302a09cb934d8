"""Work spread over processes."""

import math
import os

import pytest

from auditor.runs.executor import default_jobs, spread


def die_in_a_child(parent):
    if os.getpid() != parent:
        os._exit(9)
    return "done"


@pytest.mark.parametrize("jobs", [1, 2])
def test_every_task_is_done_once(jobs):
    tasks = [float(n) for n in range(7)]
    results = dict(spread(math.sqrt, tasks, jobs))
    assert results == {index: math.sqrt(task) for index, task in enumerate(tasks)}


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_fault_of_the_function_reaches_the_caller(jobs):
    with pytest.raises(ValueError, match=r"nonnegative|math domain"):
        list(spread(math.sqrt, [4.0, -1.0, 9.0], jobs))


def test_a_killed_process_loses_no_picture():
    tasks = [os.getpid()] * 3
    assert dict(spread(die_in_a_child, tasks, 2)) == {0: "done", 1: "done", 2: "done"}


def test_at_least_one_job():
    assert default_jobs() >= 1
