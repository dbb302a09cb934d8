"""What the steps of one command share: its workers, and what is remembered."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from auditor.runs import code_version
from auditor.runs.memory import available_bytes, jobs_within_memory
from auditor.runs.processes import Processes
from auditor.runs.store import Kept, Store
from auditor.runs.workers import Workers
from auditor.saliency.finder import SubjectFinder


@dataclass(frozen=True, slots=True)
class Run:
    """What the steps of one command share.

    Attributes
    ----------
    workers : Workers
        Where pictures are measured.
    store : Store
        What is remembered; closed, if a finder was given.
    fresh : bool
        True to measure every picture and replace what is remembered of it.
    finder : SubjectFinder or None
        None for the finder that an audit uses.
    """

    workers: Workers
    store: Store
    fresh: bool = False
    finder: SubjectFinder | None = None


@dataclass(frozen=True, slots=True)
class Scheduler:
    """The scheduler of a cluster.

    Attributes
    ----------
    address : str
    folder : Path
        Of the pictures, which all workers must see.
    """

    address: str
    folder: Path


def _workers(jobs: int, scheduler: Scheduler | None) -> Workers:
    if scheduler is None:
        return Processes(jobs_within_memory(jobs, available_bytes()))
    from auditor.runs.cluster import Cluster  # its library is an addition, and takes long to load

    return Cluster(scheduler.address, scheduler.folder)


def _silent(_: str) -> None:
    """Nobody asked."""


@contextmanager
def starting_run(
    *,
    jobs: int,
    store: Path | None,
    fresh: bool = False,
    finder: SubjectFinder | None = None,
    scheduler: Scheduler | None = None,
    note: Callable[[str], None] = _silent,
) -> Iterator[Run]:
    """Open what the steps of a command share, and close it afterwards.

    Parameters
    ----------
    jobs : int
        Number of processes; fewer are used where the memory has no room for them.
    store : Path or None
        Where measurements are remembered; None remembers nothing.
    fresh : bool
        True to measure every picture and replace what is remembered of it.
    finder : SubjectFinder or None
        Finds the subjects in place of the usual finder; picklable. Nothing is then taken from the
        store or kept in it.
    note : callable
        Called at the end with each remark about what is remembered.
    scheduler : Scheduler or None
        Of a cluster that measures in place of processes of this machine.

    Raises
    ------
    UnusableArgumentError
        The cluster cannot be used.
    """
    versions = {
        Kept.MEASURED: code_version.code_version(),
        Kept.TRIED: code_version.correcting_version(),
        Kept.PREVIEW: code_version.preview_version(),
        Kept.SMALL_PREVIEW: code_version.preview_version(),
        Kept.CORRECTED: code_version.corrected_version(),
        Kept.EXAMINED: code_version.examining_version(),
    }
    workers = _workers(jobs, scheduler)
    kept_in = store if finder is None else None
    with Store(kept_in, versions, versions[Kept.MEASURED]) as remembered:
        try:
            yield Run(workers, remembered, fresh, finder)
            remembered.tidy()
        finally:
            workers.close()
            for remark in remembered.remarks:
                note(remark)
