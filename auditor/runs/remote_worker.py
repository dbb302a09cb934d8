"""What runs in a worker of a cluster: it says who it is, and does one task after the other."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from auditor import __version__
from auditor.runs.code_version import (
    code_version,
    corrected_version,
    correcting_version,
    examining_version,
    preview_version,
)
from auditor.runs.single_thread import SINGLE_THREADED
from auditor.runs.worker_process import WithRecords, do, keep_own_records, learn

Task = TypeVar("Task")


@dataclass(frozen=True, slots=True)
class WorkerFacts:
    """What must hold for a worker, so that its results are those of any other.

    Attributes
    ----------
    auditor : str
        Version, for a message.
    versions : tuple of str
        Digests of the code, the weights and the libraries.
    sees_folder : bool
        Whether it can open the folder of the pictures.
    has_one_thread : bool
        Whether its numerical libraries add up in one order.
    """

    auditor: str
    versions: tuple[str, ...]
    sees_folder: bool
    has_one_thread: bool


class OtherVersionError(RuntimeError):
    """A worker runs other code than the process that gives it tasks."""


@cache
def versions() -> tuple[str, ...]:
    """Digests of all that a result may depend on."""
    return (
        code_version(),
        correcting_version(),
        preview_version(),
        corrected_version(),
        examining_version(),
    )


def facts_for(folder: str) -> WorkerFacts:
    """The facts of this worker."""
    return WorkerFacts(
        __version__,
        versions(),
        Path(folder).is_dir(),
        all(os.environ.get(name) == number for name, number in SINGLE_THREADED.items()),
    )


def do_here(
    function: Callable[[Task], Any],
    task: Task,
    limit_s: float,
    expected: tuple[str, ...],
    level: int,
) -> WithRecords[Any]:
    """Do one task.

    Raises
    ------
    OtherVersionError
        This worker joined the cluster later, with other code.
    """
    if versions() != expected:
        raise OtherVersionError
    keep_own_records(level)
    learn(function)
    return do(task, limit_s)
