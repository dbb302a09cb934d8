"""The library: an audit, the measurements of one picture and a plan, for other programs.

These functions are the names of the package itself: ``auditor.audit``, ``auditor.measure`` and
``auditor.read_plan``. Nothing is printed; what happens is logged under ``auditor``. The heavy
modules are imported by the function that needs them.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from auditor.measurements.measured_photograph import MeasuredPhotograph
    from auditor.plan.shot_plan import Plan
    from auditor.record.audit_record import AuditRecord
    from auditor.saliency.finder import SubjectFinder

AnyPath = str | os.PathLike[str]


def audit(
    folder: AnyPath | Sequence[AnyPath],
    plan: AnyPath | None = None,
    out: AnyPath | None = None,
    *,
    jobs: int | None = None,
    scheduler: str | None = None,
    fresh: bool = False,
    finder: SubjectFinder | None = None,
    progress: Callable[[int, int, str], None] | None = None,
    created: datetime | None = None,
    delivery: AnyPath | None = None,
    remember: bool = True,
    kind: Literal["set", "portfolio", "single"] | None = None,
    summary: bool = False,
    single_file: bool = False,
    proofs: bool = False,
) -> AuditRecord:
    """Audit a folder of finished pictures, or some pictures.

    Pictures are measured in other processes, so a script must call this below
    ``if __name__ == "__main__":``. Measurements are remembered in the user's cache folder, and
    a picture with the same bytes is not measured again; so is how far the shoot kept its plan.

    Parameters
    ----------
    folder : str, path or sequence of them
        Sub-folders are included. A sequence names the pictures themselves.
    plan : str or path, optional
        What was planned, a TOML file; without it pictures are compared with each other only.
    out : str or path, optional
        Folder for the report, made where it does not exist. Without it nothing is written.
    jobs : int, optional
        Number of pictures measured at once, at least 1; one per core by default.
    scheduler : str, optional
        Address of the scheduler of a dask.distributed cluster that measures in place of processes
        of this machine; its workers must see the folder under the same path.
    fresh : bool
        True to measure every picture, remembered or not.
    finder : SubjectFinder, optional
        Finds the subject and the elements in place of the trained network. It must be picklable,
        and its class importable by other processes. Nothing is then remembered.
    progress : callable, optional
        Called with the number of pictures done, their total, and the file that was just
        measured.
    created : datetime, optional
        Time of the audit in the record, with its time zone; now by default.
    delivery : str or path, optional
        Rules of a hand-over, a TOML file, or the name of one of the examples.
    remember : bool
        False to use and to keep nothing that is remembered.
    kind : {"set", "portfolio", "single"}, optional
        How the pictures belong together; told from the pictures by default.
    summary, single_file, proofs : bool
        True to write a summary for a client too, to put the pictures into the pages, to write small
        proofs of the advised versions. They need `out`.

    Returns
    -------
    AuditRecord
        The contents of ``audit.json``. Positions are fractions of the frame, angles are in
        degrees, colour temperatures in kelvin and mired, exposures in EV.

    Raises
    ------
    ValueError
        `jobs` is less than 1, `created` has no time zone, `kind` is none of the three, or a part of
        the report is asked for without `out`.
    UnusableArgumentError
        The folder cannot be read, the report cannot be written, or the cluster cannot be used.
    InvalidPlanError, InvalidRulesError
        The plan or the rules have faults; nothing was measured.
    NothingToMeasureError
        No picture could be measured; nothing was written.
    RuntimeError
        No process could be started to measure in, for example because the script calls this
        outside ``if __name__ == "__main__":``.
    """
    from auditor.audit_request import AuditRequest
    from auditor.audit_steps import audit as audit_as_requested
    from auditor.photograph.chosen_pictures import folder_or_pictures
    from auditor.runs.store import default_location
    from auditor.runs.workers import default_jobs
    from auditor.series.kind import SetKind

    if jobs is not None and jobs < 1:
        raise ValueError(f"jobs must be at least 1, not {jobs}")
    if created is not None and created.tzinfo is None:
        raise ValueError("created must have a time zone")
    if out is None and (summary or single_file or proofs):
        raise ValueError(
            "summary, single_file and proofs are parts of the report, so they need out"
        )
    given = [folder] if isinstance(folder, (str, os.PathLike)) else folder
    root, chosen = folder_or_pictures([Path(path) for path in given])
    request = AuditRequest(
        folder=root,
        chosen=chosen,
        plan=None if plan is None else Path(plan),
        directory=None if out is None else Path(out),
        jobs=default_jobs() if jobs is None else jobs,
        scheduler=scheduler,
        store=default_location() if remember else None,
        created=datetime.now(UTC) if created is None else created,
        fresh=fresh,
        finder=finder,
        delivery=None if delivery is None else Path(delivery),
        kind=None if kind is None else SetKind(kind),
        summary=summary,
        single_file=single_file,
        proofs=proofs,
    )
    return audit_as_requested(request, _silent if progress is None else progress)


def measure(path: AnyPath, *, finder: SubjectFinder | None = None) -> MeasuredPhotograph:
    """Measure one picture, in this process.

    Parameters
    ----------
    path : str or path
        A JPEG, PNG, TIFF, WebP or AVIF, or with the extra ``heif`` a HEIC.
    finder : SubjectFinder, optional
        Finds the subject and the elements in place of the trained network.

    Returns
    -------
    MeasuredPhotograph
        Each estimated quantity has a ``value``, the ``confidence`` in [0, 1] that the value is
        within its tolerance, and a ``reason`` if there is no value. Units are in the names of the
        fields, and positions are fractions of the frame.

    Raises
    ------
    UnreadablePictureError
        The picture cannot be read, or is too small to measure.
    """
    from auditor.runs.measured_file import measure_picture

    return measure_picture(Path(path), finder)


def read_plan(path: AnyPath) -> Plan:
    """Read the plan of a shoot.

    Parameters
    ----------
    path : str or path
        A TOML file.

    Returns
    -------
    Plan
        Its shots, each completed by what holds for the whole series; places in words have become
        positions in fractions of the frame.

    Raises
    ------
    InvalidPlanError
        The plan has faults; its `faults` have the line, the key and a message for each.
    """
    from auditor.plan.reading import read_plan as read_plan_file

    return read_plan_file(Path(path))


def _silent(_done: int, _total: int, _file: str) -> None:
    """Progress that nobody asked for."""
