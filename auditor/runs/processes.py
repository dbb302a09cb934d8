"""Workers that are processes of this machine."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass
from multiprocessing.connection import wait
from typing import Generic, TypeVar, cast

from auditor.runs.log_records import log_again
from auditor.runs.place import Place, interrupts_held
from auditor.runs.worker_process import Begun, Failed
from auditor.runs.workers import Lost, WorkersCannotStartError

Task = TypeVar("Task")
Result = TypeVar("Result")

# So many processes may end before they begin a task, one after the other: somebody may kill one by
# chance while it starts, but not three (our choice, no source).
MOST_FAILED_STARTS = 3
# Before another start: the system may need a moment to end a process that was killed, such as the
# one that starts the others.
PAUSE_S = 0.3


class Processes:
    """Processes of this machine; each is started when there is work for it, and then kept.

    No task is ever done in the calling process. A process can be killed during a task, by the
    system because the memory is full or by a fault in compiled code. That task is tried once more
    when all others are done, alone.

    Parameters
    ----------
    jobs : int
        Number of processes, at least 1. A single one has the same single thread as several, so that
        their number changes no digit of a result.
    """

    def __init__(self, jobs: int) -> None:
        self._places = [Place() for _ in range(jobs)]

    def spread(
        self, function: Callable[[Task], Result], tasks: Sequence[Task], limit_s: float
    ) -> Generator[tuple[int, Result | Lost], None, None]:
        """As `auditor.runs.workers.Workers.spread`."""
        try:
            killed = []
            for index, result in _Round(self._places, function, tasks, limit_s).results():
                if result is Lost.KILLED:
                    killed.append(index)
                else:
                    yield index, result
            for index in sorted(killed):
                self.close()  # the memory of the others is free for it
                alone = _Round(self._places[:1], function, [tasks[index]], limit_s)
                for _, result in alone.results():
                    yield index, result
        finally:
            # After an error or an interrupt, and if nobody asks for the rest.
            with interrupts_held():
                for place in self._places:
                    place.end_if_busy()

    def close(self) -> None:
        """As `auditor.runs.workers.Workers.close`."""
        for place in self._places:
            place.end()


@dataclass(slots=True)
class _Running:
    """A task that was given to a process; until the process begins it, its time does not count."""

    index: int
    until: float | None = None


class _Round(Generic[Task, Result]):
    """Each of some tasks once, spread over processes."""

    def __init__(
        self,
        places: Sequence[Place],
        function: Callable[[Task], Result],
        tasks: Sequence[Task],
        limit_s: float,
    ) -> None:
        self._function, self._tasks, self._limit_s = function, tasks, limit_s
        self._waiting, self._free = deque(range(len(tasks))), deque(places)
        self._running: dict[Place, _Running] = {}
        self._n_failed_starts = 0

    def results(self) -> Generator[tuple[int, Result | Lost], None, None]:
        """The index of each task with its result, in any order."""
        while self._waiting or self._running:
            while self._waiting and self._free:
                place, index = self._free.popleft(), self._waiting.popleft()
                self._running[place] = _Running(index)
                place.order(self._function, self._tasks[index], self._limit_s)
            for place in self._with_answers():
                yield from self._answered(place)
            for place in self._too_slow():
                place.end()
                yield self._ended(place), Lost.TOO_SLOW

    def _with_answers(self) -> list[Place]:
        """Wait for answers, or for the time of a task to be over."""
        # Without a connection there is no process: it could not be started.
        if lost := [place for place in self._running if place.line is None]:
            return lost
        lines = {place.line: place for place in self._running if place.line is not None}
        ends = [one.until for one in self._running.values() if one.until is not None]
        longest = max(0.0, min(ends) - time.monotonic()) if ends else None
        heard = wait(list(lines), longest)
        return [place for line, place in lines.items() if line in heard]

    def _answered(self, place: Place) -> Generator[tuple[int, Result | Lost], None, None]:
        answer = place.answer()
        if isinstance(answer, Begun):
            self._n_failed_starts = 0
            self._running[place].until = time.monotonic() + self._limit_s
            return
        has_begun_this = self._running[place].until is not None
        index = self._ended(place)
        if isinstance(answer, Failed):
            if not has_begun_this:
                raise WorkersCannotStartError from answer.error
            raise answer.error
        if answer is not None:
            log_again(answer.records)
            yield index, cast("Result", answer.result)
        elif has_begun_this:
            yield index, Lost.KILLED
        else:
            self._waiting.appendleft(index)  # the process ended before it could begin
            self._count_failed_start(place)

    def _count_failed_start(self, place: Place) -> None:
        """Raise if processes cannot start; one that did and ended while it was idle is no sign."""
        if place.has_begun:
            return
        self._n_failed_starts += 1
        if self._n_failed_starts >= MOST_FAILED_STARTS:
            raise WorkersCannotStartError
        time.sleep(PAUSE_S)

    def _ended(self, place: Place) -> int:
        """The task that a place had; from now on the place is free."""
        self._free.append(place)
        return self._running.pop(place).index

    def _too_slow(self) -> list[Place]:
        now = time.monotonic()
        return [p for p, one in self._running.items() if one.until is not None and one.until <= now]
