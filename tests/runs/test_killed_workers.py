"""Processes that are killed while they start, wait, answer; and the one that starts them."""

import os
import sys
import time
from functools import partial
from multiprocessing.connection import Connection
from unittest import mock

import pytest

from auditor.runs.processes import Processes
from tests.runs.test_processes import (
    KILL,
    LIMIT_S,
    kill_own_process_if_deadly,
    kill_own_process_once,
    own_process,
    spread,
)
from tests.systems import WINDOWS


def die_while_answering(marker, task):
    """The process of the first task that finds no marker is killed in the middle of its answer."""
    try:
        marker.touch(exist_ok=False)
    except FileExistsError:
        return task

    def write_half(line, data, write=os.write):
        write(line.fileno(), bytes(data[: len(data) // 2]))
        os.kill(os.getpid(), KILL)

    mock.patch.object(Connection, "_send", write_half).start()
    return task * 100_000


class KillsOnceWhenLoaded:
    """A function that kills the first process which loads it, before it has begun a task."""

    def __init__(self, marker):
        self.marker = marker

    def __setstate__(self, state):
        self.marker = state["marker"]
        kill_own_process_once(self.marker, None)

    def __call__(self, task):
        return task


def parent_process(_task):
    return os.getppid()


@pytest.mark.skipif(WINDOWS, reason="there a connection writes otherwise")
@pytest.mark.parametrize("jobs", [1, 2])
def test_a_process_that_is_killed_while_it_answers_is_not_waited_for(tmp_path, jobs):
    function = partial(die_while_answering, tmp_path / "marker")
    assert dict(spread(function, ["a", "b", "c"], jobs, 20.0)) == {0: "a", 1: "b", 2: "c"}


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_process_that_is_killed_while_it_starts_is_started_again(tmp_path, jobs):
    function = KillsOnceWhenLoaded(tmp_path / "marker")
    assert dict(spread(function, ["a", "b", "c"], jobs)) == {0: "a", 1: "b", 2: "c"}


@pytest.mark.parametrize("is_noticed", [False, True])
@pytest.mark.parametrize("function", [own_process, kill_own_process_if_deadly])
def test_processes_that_are_killed_while_they_are_idle_are_started_again(function, is_noticed):
    workers = Processes(4)
    tasks = ["a", "b", "c", "d"]
    for process in set(dict(workers.spread(own_process, tasks, LIMIT_S)).values()):
        os.kill(process, KILL)
    if is_noticed:
        time.sleep(0.3)
    assert sorted(dict(workers.spread(function, tasks, LIMIT_S))) == [0, 1, 2, 3]
    workers.close()


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere there is no such process")
def test_the_process_that_starts_others_is_started_again():
    workers = Processes(2)
    first = dict(workers.spread(parent_process, ["a", "b"], LIMIT_S))
    os.kill(first[0], KILL)
    assert dict(workers.spread(kill_own_process_if_deadly, ["a"], LIMIT_S))[0][0] == "a"
    workers.close()
    again = dict(workers.spread(parent_process, ["a", "b"], LIMIT_S))
    assert again[0] != first[0]
    workers.close()
