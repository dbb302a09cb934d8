"""Workers of a dask.distributed cluster, through its executor of `concurrent.futures`.

A lost worker's task is done once more on another. Only what is sent back counts: workers read
pictures and write nothing.
"""

from __future__ import annotations

import logging
import time
from collections import Counter, deque
from collections.abc import Callable, Generator, Iterable, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, CancelledError, Future, wait
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from auditor.errors import UnusableArgumentError
from auditor.photograph.folder import printable_name
from auditor.runs.log_records import log_again, log_level
from auditor.runs.remote_worker import (
    OtherVersionError,
    WorkerFacts,
    do_here,
    facts_for,
    versions,
)
from auditor.runs.worker_process import GRACE_S, WithRecords
from auditor.runs.workers import Lost
from auditor.safe_text import one_line

Task = TypeVar("Task")
Result = TypeVar("Result")

CONNECTING_S = 10.0  # on a network of one house an answer takes thousandths of a second. No source
# How long a cluster may be without any worker: one that was lost is started again within seconds
# where something watches over it. No source.
WITHOUT_WORKERS_S = 60.0
_LOOK_AGAIN_S = 2.0

_LOGGERS = ("distributed", "tornado.application")


class Cluster:
    """The workers of a cluster that somebody has started.

    Parameters
    ----------
    address : str
        Of its scheduler, for example ``tcp://192.168.1.20:8786``.
    folder : Path
        Of the pictures; each worker must see it under the same path.

    Raises
    ------
    UnusableArgumentError
        There is no such scheduler or no worker, or a worker runs another version or does not see
        the folder. The message names each.
    """

    def __init__(self, address: str, folder: Path) -> None:
        self._address = one_line(address)
        client_of = _imported()
        for name in _LOGGERS:  # what matters of their messages is said here
            logging.getLogger(name).setLevel(logging.CRITICAL)
        try:
            self._client = client_of(address, timeout=CONNECTING_S, set_as_default=False)
        except Exception as error:  # its library raises errors of many kinds for a wrong address
            raise UnusableArgumentError(
                f"{self._address}: no scheduler answers there. Start one with “dask scheduler”, "
                "which prints its address, and give that address."
            ) from error
        try:
            self._check_workers(folder.absolute())
            self._executor = self._client.get_executor(pure=False)
        except BaseException:
            self._client.close()
            raise
        self._threads: Mapping[str, int] = {}
        self._hanging: dict[str, float] = {}  # until when each gets no task
        self._looked_at, self._seen_at = 0.0, time.monotonic()

    def spread(
        self, function: Callable[[Task], Result], tasks: Sequence[Task], limit_s: float
    ) -> Generator[tuple[int, Result | Lost], None, None]:
        """As `auditor.runs.workers.Workers.spread`."""
        waiting = deque(range(len(tasks)))
        n_lost: Counter[int] = Counter()
        running: dict[Future[WithRecords[Result]], _Running] = {}
        sent_with = (limit_s, versions(), log_level())
        try:
            while waiting or running:
                while waiting and (worker := self._free_worker(running.values())):
                    index = waiting.popleft()
                    future = self._executor.submit(
                        do_here, function, tasks[index], *sent_with, workers=[worker]
                    )
                    running[future] = _Running(index, worker, time.monotonic() + limit_s)
                if running:
                    wait(running, _LOOK_AGAIN_S, FIRST_COMPLETED)
                else:
                    time.sleep(_LOOK_AGAIN_S)
                for future in self._over(running):
                    one = running.pop(future)
                    result = self._result(future, one)
                    if result is Lost.KILLED and not n_lost[one.index]:
                        n_lost[one.index] += 1
                        waiting.append(one.index)  # once more, on another worker
                    else:
                        yield one.index, result
        finally:
            for future in running:
                future.cancel()

    def close(self) -> None:
        """Leave the cluster, which stays as it is."""
        with suppress(OSError, TimeoutError):
            self._client.close()

    def _check_workers(self, folder: Path) -> None:
        found = self._client.run(facts_for, str(folder), on_error="return")
        if not found:
            raise UnusableArgumentError(
                f"{self._address}: this cluster has no workers. Start them with “dask worker "
                f"{self._address} --nworkers auto --nthreads 1”."
            )
        faults = [
            f"{one_line(str(worker))}: {fault}"
            for worker, facts in sorted(found.items())
            if (fault := _fault_of(facts, folder))
        ]
        if faults:
            raise UnusableArgumentError("\n".join(faults))

    def _free_worker(self, running: Iterable[_Running]) -> str | None:
        """A worker with nothing to do.

        A cluster gives a worker more than it can do at once. The time of a task would then pass
        while it waits for another, so each is sent to one worker, which can begin it at once.
        """
        n_running = Counter(one.worker for one in running)
        threads = self._threads_of_workers()
        now = time.monotonic()
        free = (name for name, n in threads.items() if n_running[name] < n)
        return next((name for name in free if self._hanging.get(name, now) <= now), None)

    def _threads_of_workers(self) -> Mapping[str, int]:
        """The workers there are; raises if there have been none for long."""
        now = time.monotonic()
        if now - self._looked_at >= _LOOK_AGAIN_S:
            self._looked_at = now
            with suppress(OSError, TimeoutError):  # a scheduler that is lost cancels all tasks
                self._threads = dict(self._client.nthreads())
        if self._threads:
            self._seen_at = now
        elif now - self._seen_at > WITHOUT_WORKERS_S:
            raise UnusableArgumentError(
                f"{self._address}: the cluster has had no workers for {WITHOUT_WORKERS_S:.0f} "
                "seconds. What was measured is remembered; start workers and audit again."
            )
        return self._threads

    def _over(self, running: Mapping[Future[Any], _Running]) -> list[Future[Any]]:
        """Tasks that are done, whose time is over, or whose worker is lost."""
        now, there = time.monotonic(), self._threads_of_workers()
        return [
            future
            for future, one in running.items()
            if future.done() or one.until <= now or one.worker not in there
        ]

    def _result(self, future: Future[WithRecords[Result]], one: _Running) -> Result | Lost:
        if not future.done():
            future.cancel()
            if one.worker not in self._threads:
                return Lost.KILLED
            # By then it has ended itself, or its task has come to an end after all.
            self._hanging[one.worker] = one.until + 2 * GRACE_S
            return Lost.TOO_SLOW
        try:
            result, records = future.result()
        except CancelledError as error:
            raise UnusableArgumentError(
                f"{self._address}: the scheduler is lost. What was measured is remembered; start "
                "the cluster again and audit again."
            ) from error
        except OtherVersionError as error:
            raise UnusableArgumentError(
                f"{self._address}: a worker joined that runs another version of auditor or of its "
                "libraries. Install the same on it and start it again."
            ) from error
        except _killed_worker() as error:
            logging.getLogger(__name__).warning("%s", error)
            return Lost.KILLED
        log_again(records)
        return result


@dataclass(frozen=True, slots=True)
class _Running:
    """A task that is being done."""

    index: int
    worker: str
    until: float


def _fault_of(facts: WorkerFacts | Exception, folder: Path) -> str:
    """Why a worker cannot be used; empty if it can."""
    if not isinstance(facts, WorkerFacts):
        return (
            f"auditor cannot be loaded there ({one_line(str(facts))}). Install it on that worker."
        )
    if facts.versions != versions():
        return (
            f"auditor {facts.auditor} there, or one of its libraries, is another version than here;"
            " the results would differ. Install the same versions on both."
        )
    if not facts.has_one_thread:
        return (
            "its numerical libraries use several threads, and the results would differ in their "
            "last digits. Start it with OMP_NUM_THREADS, OPENBLAS_NUM_THREADS and MKL_NUM_THREADS "
            "set to 1."
        )
    if not facts.sees_folder:
        return (
            f"it does not see {printable_name(str(folder))}. Share the folder with that machine "
            "under the same path."
        )
    return ""


def _imported() -> Callable[..., Any]:
    try:
        from distributed import Client
    except ImportError as error:
        raise UnusableArgumentError(
            "--scheduler needs an addition to this program: pip install 'auditor[cluster]'"
        ) from error
    client: Callable[..., Any] = Client
    return client


def _killed_worker() -> type[Exception]:
    from distributed import KilledWorker

    killed: type[Exception] = KilledWorker
    return killed
