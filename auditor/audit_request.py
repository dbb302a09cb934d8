"""What an audit is asked to do."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from auditor.saliency.finder import SubjectFinder
from auditor.series.kind import SetKind


@dataclass(frozen=True, slots=True)
class AuditRequest:
    """What to audit and where to write.

    Attributes
    ----------
    folder : Path
        The pictures to audit are in it and its sub-folders.
    chosen : tuple of str or None
        Only these pictures, as paths relative to the folder; None for all.
    plan : Path or None
    directory : Path or None
        The report's own folder, made where it does not exist; None writes nothing.
    jobs : int
        Number of processes.
    scheduler : str or None
        Address of the scheduler of a cluster that measures in place of them.
    store : Path or None
        Where measurements are remembered; None measures everything and remembers nothing.
    created : datetime
        With its time zone; stands in the record in UTC.
    fresh : bool
        True to measure every picture and replace what is remembered of it.
    finder : SubjectFinder or None
        Finds the subjects in place of the usual finder; nothing is then remembered.
    single_file : bool
        True to put the pictures into the page, so that it can be sent as one file.
    summary : bool
        True to write a summary for a client too, of one page.
    proofs : bool
        True to write small proofs of the advised versions into the report's folder.
    kind : SetKind or None
        How the pictures belong together; None to tell it from them.
    delivery : Path or None
        Rules of a hand-over, or the name of an example of them.
    """

    folder: Path
    plan: Path | None
    directory: Path | None
    jobs: int
    store: Path | None
    created: datetime
    fresh: bool = False
    finder: SubjectFinder | None = None
    chosen: tuple[str, ...] | None = None
    kind: SetKind | None = None
    delivery: Path | None = None
    single_file: bool = False
    summary: bool = False
    proofs: bool = False
    scheduler: str | None = None
